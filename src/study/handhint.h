/* handhint.h - ways that are worth trying by hand.
 *
 * A way that an engine found goes from scan to scan, faster than a hand, and
 * with the machine answering as it likes.  Its changes of controls and
 * movements, one after the other, are often a way by hand too.  That it is
 * one is for the search to say.
 */
#ifndef KEEPCLEAR_STUDY_HANDHINT_H
#define KEEPCLEAR_STUDY_HANDHINT_H

#include "study/handsearch.h"

/* Tries the hint of each obligation from one number on, before another, that
 * is still looked for, from the beginnings that fit it, until the most steps
 * of the search were looked at. */
void handhint_try(struct handsearch *search, uint32_t from, uint32_t to);

#endif
