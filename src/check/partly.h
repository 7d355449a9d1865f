/* partly.h - words that come from outside in part.
 *
 * Where texts write single bits of a bit string or a number that is global or
 * stands at a place, the others are parts of their own: one that a text reads
 * alone and none writes comes from outside.  Which these are is known when all texts are checked; in another
 * round each is a BOOL behind its word, "Main.word.4".
 */
#ifndef KEEPCLEAR_CHECK_PARTLY_H
#define KEEPCLEAR_CHECK_PARTLY_H

#include "check/draft.h"

struct found;
struct unit_vars;

/* A variable was declared, its slots were taken, and its symbol entered: now
 * its bits from outside get slots behind it. */
void partly_declare(struct draft *draft, struct unit_vars *vars,
                    struct symbol *symbol);

/* A bit of what was found is meant: where that comes from outside, its BOOL
 * is what is found. */
bool partly_found(const struct draft *draft, struct found *found,
                  uint32_t bit);

/* Asks for another round if bits from outside are met that have no slot; did
 * it?  All bodies are checked. */
bool partly_ask(struct draft *draft);

#endif
