/* inside.h - what the body of a function block does with its own variables.
 *
 * A body is checked once, whatever number of instances there are.  What it
 * reads and writes of its own is noted slot by slot, and of each instance
 * once all bodies are known.  A variable of an instance that stands at a
 * place in the controller and that no text writes then comes from outside,
 * as one of a program does.
 */
#ifndef KEEPCLEAR_CHECK_INSIDE_H
#define KEEPCLEAR_CHECK_INSIDE_H

#include "check/draft.h"

/* What is done with one slot: where it is first read and written, which bits
 * alone, and whether more than one is written. */
struct inner {
    struct span read, written;
    uint64_t bits_read, bits_written, bits_lent; /* lent: read by a callee */
    bool whole_written;
};

/* Adds that to what is known of a slot. */
void inside_done(struct use *use, const struct inner *done);

/* Does the body of the unit work on instances? */
bool inside_has(const struct unit *unit);

/* The body of the block does that with so many slots of its own. */
void inside_touch(struct draft *draft, struct unit *unit,
                  const struct code_variable *variable, uint32_t size,
                  struct inner done);

/* An instance of the block has its slots from there on, in a program (NULL:
 * the globals). */
void inside_laid(struct draft *draft, struct unit *unit,
                 struct unit *program, uint32_t slot);

/* Notes it all in the uses of the slots; all bodies are checked.  May be
 * called again when there are more. */
void inside_note(struct draft *draft);

#endif
