/* known.h - what of a slice holds however its open places come out.
 *
 * Each value is carried together with whether it is known: an open place
 * (FLAT_ANY) is not; an operator is where its result would be the same
 * whatever the unknown operands were, as far as looking at it alone shows
 * that; a cell that may come to hold something unknown gets a companion that
 * says so.  Unknown values are put to one value, so that situations which
 * differ only in them are one.
 *
 * A watch of the result holds only where it holds in every run of the slice
 * with the same other choices; the assumptions must hold in all of them, and
 * a path ends where it ends in one of them.  So whatever is seen in the
 * result is seen in the slice, however the open places come out; the reverse
 * need not be.
 */
#ifndef KEEPCLEAR_LOGIC_KNOWN_H
#define KEEPCLEAR_LOGIC_KNOWN_H

#include "logic/slice.h"

/* Does the slice read an open place? */
bool known_leans(const struct slice *slice);

/* The slice made of it: watch number `watch` of the slice is its only watch,
 * companions stand behind the cells, no FLAT_ANY choice is read, values are
 * left out.  All of it lies in the arena. */
const struct slice *known_slice(struct arena *arena,
                                const struct slice *slice, uint32_t watch);

#endif
