/* partly.h - words that come from outside in part.
 *
 * Where texts write single bits of a bit string or a number that is global or
 * stands at a place, the others are parts of their own: one that a text reads
 * alone and none writes comes from outside.  Which these are is known when
 * all texts are checked; in another round each is a BOOL behind its word,
 * "Main.word.4": the slots behind that of a symbol with bits `outside`, in
 * their order.
 */
#ifndef KEEPCLEAR_CHECK_PARTLY_H
#define KEEPCLEAR_CHECK_PARTLY_H

#include "check/draft.h"

/* Asks for another round if bits from outside are met that have no slot; did
 * it?  All bodies are checked. */
bool partly_ask(struct draft *draft);

/* Where it cannot be told apart bit by bit, in arrays, in structures and
 * behind a VAR_IN_OUT, the whole word is SHARED; before bind_free. */
void partly_share(struct draft *draft);

#endif
