/* tiles.h - every reachable situation of a slice, level by level, many at a
 * time.
 *
 * Finds exactly what explore.h finds (reach.h), and keeps less: no ways, only
 * what was reached.  Some stored bits may be carried in bitmaps: then one
 * look at a scan serves all combinations of them that it does not tell
 * apart.  The order of work is the same on every machine.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_TILES_H
#define KEEPCLEAR_ENGINE_TILES_TILES_H

#include <stdint.h>

#include "engine/reach.h"

struct slice;

/* How many stored bits go into bitmaps: as a short trial says, or a number
 * from 0 on; fewer if there are not that many, at most TILES_MOST_BITS. */
#define TILES_AUTOMATIC UINT32_MAX
enum { TILES_MOST_BITS = 9 };

struct tiles;

/* Explores; never NULL.  The slice must outlive the result; setting may be
 * NULL: no limits. */
struct tiles *tiles_explore(const struct slice *slice,
                            const struct explore_setting *setting,
                            uint32_t bits);
void tiles_free(struct tiles *tiles);

/* What was found; valid as long as tiles. */
const struct reach *tiles_reach(const struct tiles *tiles);

/* For measurements: stored bits in bitmaps, tiles in the table, and steps
 * through a section that were made. */
struct tiles_effort {
    uint32_t bits;
    uint64_t tiles, steps, worked_out;
    uint64_t most_steps; /* of one thread */
    uint32_t sections, threads;
};

struct tiles_effort tiles_effort(const struct tiles *tiles);

#endif
