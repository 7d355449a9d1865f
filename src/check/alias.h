/* alias.h - what a callee does with a variable that it has as VAR_IN_OUT.
 *
 * The callee works on the variable itself: of an array or a structure the
 * parts that it, or one that it hands it on to, reads or writes are noted as
 * read or written, and no others.
 */
#ifndef KEEPCLEAR_CHECK_ALIAS_H
#define KEEPCLEAR_CHECK_ALIAS_H

#include "check/env.h"
#include "check/inside.h"

/* The body being checked does that with so many slots of a VAR_IN_OUT of its
 * own. */
void alias_touch(struct env *env, const struct code_variable *variable,
                 uint32_t size, struct inner done);

/* The body being checked hands a variable over to VAR_IN_OUT number in_out of
 * a callee. */
void alias_hand(struct env *env, const struct unit *callee, uint32_t in_out,
                const struct code_variable *variable, struct span span);

/* Notes in the uses of the control variables what all callees do with them;
 * all bodies are checked.  May be called again when there are more. */
void alias_note(struct draft *draft);

/* Does the unit, or one that it hands it on to, write any part of it?
 * alias_note was called. */
bool alias_writes(const struct draft *draft, const struct unit *unit,
                  uint32_t in_out);

#endif
