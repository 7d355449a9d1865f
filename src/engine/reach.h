/* reach.h - what a run over the reachable situations found, whichever engine
 * ran it.
 *
 * Engines that ran to the same end found the same, number by number.
 */
#ifndef KEEPCLEAR_ENGINE_REACH_H
#define KEEPCLEAR_ENGINE_REACH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "engine/explore.h"

struct reach {
    enum explore_end end;
    const char *count;       /* situations in complete levels, decimal */
    uint64_t situations;     /* the same; UINT64_MAX: more than fits */
    uint32_t levels;         /* complete ones */
    const uint64_t *level_size; /* situations first seen in level i + 1;
                                   UINT64_MAX: more than fits */
    const uint32_t *watch_level; /* per watch of the slice: first level at
                                    which it held, 0: never */
    const uint32_t *end_level;   /* per end, the same */
    uint32_t dead_end;       /* judgings before the first, FLAT_NONE: none */
    bool reduced;            /* a value did not fit its cell */
    const int64_t *low, *high; /* per cell of the slice: range of its values
                                  over all situations; EXPLORE_COMPLETE only,
                                  else NULL */
    size_t bytes;            /* held when it ended */
};

struct arena;

/* A deep copy; lies in the arena.  What belongs to one slice goes with it. */
const struct reach *reach_copy(struct arena *arena, const struct slice *slice,
                               const struct reach *reach);

/* NULL where two exact answers to one question agree in all that counts;
 * else what they do not agree in, as a sentence. */
const char *reach_differ(const struct slice *slice, const struct reach *a,
                         const struct reach *b);

#endif
