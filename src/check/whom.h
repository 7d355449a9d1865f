/* whom.h - who is on our side: the names behind BY. */
#ifndef KEEPCLEAR_CHECK_WHOM_H
#define KEEPCLEAR_CHECK_WHOM_H

#include "check/draft.h"

/* Fills in `by` of a POSSIBLE AGAIN from the names behind BY: controls, or
 * inputs that no control describes.  Signals are bound.  False when a name
 * is neither (reported). */
bool whom_check(struct draft *draft, const struct tree_requirement *tree,
                struct requirement *row);

#endif
