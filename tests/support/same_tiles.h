/* same_tiles.h - the tiles engine against the explorer that keeps ways: what
 * they find must be the same, number by number. */
#ifndef KEEPCLEAR_TESTS_SAME_TILES_H
#define KEEPCLEAR_TESTS_SAME_TILES_H

#include "engine/explore.h"
#include "engine/reach.h"

/* Fails the test where a run differs from an exploration of the same slice
 * with the same setting.  Of runs that ended early, complete levels and what
 * was seen in them count. */
void same_tiles(const struct slice *slice, const struct reach *reach,
                const struct exploration *exploration);

#endif
