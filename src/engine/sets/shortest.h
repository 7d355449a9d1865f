/* shortest.h - the canonical sequence to something that a run over sets
 * saw, without storing more situations than its shortest ways have. */
#ifndef KEEPCLEAR_ENGINE_SETS_SHORTEST_H
#define KEEPCLEAR_ENGINE_SETS_SHORTEST_H

#include "engine/sets/sets.h"

struct arena;

/* What sequence_find gives for the whole exploration of the slice of the run;
 * setting: that of the run, of which the limits and what is fixed count.
 * NULL: the goal was not seen; or (sets_lost, or *end is not
 * EXPLORE_COMPLETE) a limit was reached on the way.  Lies in the arena. */
const struct sequence *sets_sequence(struct arena *arena, struct sets *sets,
                                     enum sequence_goal goal, uint32_t index,
                                     enum explore_end *end);

#endif
