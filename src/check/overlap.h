/* overlap.h - variables at places in the controller that may share a part.
 *
 * Each is taken for one of its own.  Where a text writes one and reads the
 * other that would hide what happens, so they are refused.  Those that are
 * only read can do more than the real ones, those that are only written have
 * no part in a run-time error: without a review text, which could ask for
 * more, they are told of and no more.
 */
#ifndef KEEPCLEAR_CHECK_OVERLAP_H
#define KEEPCLEAR_CHECK_OVERLAP_H

#include "check/draft.h"

/* Reports which variables of draft->placed may share a part of a place; all
 * bodies are checked. */
void overlap_check(struct draft *draft);

/* Instance number `count`, from 1, of a unit is laid out: one with a place of
 * its own may be there once only; where nobody asks more than which run-time
 * errors occur, each may have its own input. */
void overlap_instance(struct draft *draft, const struct unit *unit,
                      uint32_t count);

#endif
