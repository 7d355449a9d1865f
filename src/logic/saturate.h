/* saturate.h - counters that stand still where nobody looks any further.
 *
 * A cell that is only set to values, kept or counted up, and only compared
 * with constants, tells no more above the largest of these: there it stands
 * at one value (docs/notes/engines.md, "Counters that stand").
 */
#ifndef KEEPCLEAR_LOGIC_SATURATE_H
#define KEEPCLEAR_LOGIC_SATURATE_H

#include "logic/slice.h"

/* The slice with such cells cut; itself when there are none.  Only cells of
 * the flat logic with may[cell] are cut.  Both have the same situations up to
 * values above the cut, as long as no counter leaves what it can store.
 * Lies in the arena. */
const struct slice *saturate(struct arena *arena, const struct slice *slice,
                             const bool *may);

#endif
