/* overlap.h - variables at places in the controller that may share a part.
 *
 * Each is taken for one of its own: where they share bits that would be
 * wrong, so they are refused where a review text judges them.
 */
#ifndef KEEPCLEAR_CHECK_OVERLAP_H
#define KEEPCLEAR_CHECK_OVERLAP_H

#include "check/draft.h"

/* Reports which variables of draft->placed may share a part of a place:
 * warnings, or errors where there is a review text. */
void overlap_check(struct draft *draft);

#endif
