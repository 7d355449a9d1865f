/* found.h - what an exploration found, as a record. */
#ifndef KEEPCLEAR_ENGINE_FOUND_H
#define KEEPCLEAR_ENGINE_FOUND_H

#include "engine/reach.h"

struct arena;

/* A copy of all that verdicts rest on; lies in the arena and outlives the
 * exploration. */
const struct reach *found_reach(struct arena *arena,
                                const struct exploration *exploration);

#endif
