/* guard.h - what ends a run, asked between operations, and in the middle of
 * large ones. */
#ifndef KEEPCLEAR_ENGINE_SETS_GUARD_H
#define KEEPCLEAR_ENGINE_SETS_GUARD_H

#include <stdbool.h>

#include "engine/explore.h"

struct room;

struct guard {
    const struct room *room;
    bool (*interrupted)(void *context); /* NULL: never */
    void *interrupted_context;
    enum explore_end end;      /* EXPLORE_COMPLETE while it goes on */
    uint64_t most_effort;      /* of the room, 0: any */
    bool spent;                /* ended by that, as EXPLORE_INTERRUPTED */
};

/* Does the run go on?  False once what the room gave back since the last
 * question cannot be relied on. */
bool guard_passes(struct guard *guard);

/* Must an operation that is under way be left?  For struct room_limits; the
 * context is the guard, which has ended then. */
bool guard_stops(void *context);

#endif
