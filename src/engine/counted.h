/* counted.h - what an exploration found, as a record that any engine can
 * fill. */
#ifndef KEEPCLEAR_ENGINE_COUNTED_H
#define KEEPCLEAR_ENGINE_COUNTED_H

#include "engine/reach.h"

struct arena;
struct exploration;

/* Lies in the arena and borrows nothing. */
const struct reach *exploration_reach(struct arena *arena,
                                      const struct exploration *exploration);

#endif
