/* distance.h - how many scans a watch is away at least, without walking.
 *
 * From ranges alone: what each cell holds before the first scan and is set
 * to, and by how much it moves in one scan.  What is found may only be too
 * small (docs/notes/engines.md, "How far away").
 */
#ifndef KEEPCLEAR_LOGIC_DISTANCE_H
#define KEEPCLEAR_LOGIC_DISTANCE_H

#include "logic/slice.h"

#define DISTANCE_NEVER UINT64_MAX

/* The most scans in none of which, as far as ranges show it, watch number
 * `watch` of the slice can hold; 0 where that are not more than `beyond` (at
 * least 1), DISTANCE_NEVER where it can hold in none at all.  Holds as long
 * as no value leaves what its cell can store.  interrupted: asked now and
 * then, where it says true nothing more is shown; NULL: never. */
uint64_t distance_least(const struct slice *slice, uint32_t watch,
                        uint64_t beyond, bool (*interrupted)(void));

#endif
