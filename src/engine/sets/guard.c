#include "engine/sets/guard.h"

#include "engine/sets/room.h"

bool guard_passes(struct guard *g)
{
    struct room_use use;

    if (g->end != EXPLORE_COMPLETE)
        return false;
    use = room_use(g->room);
    if (use.full) {
        g->end = EXPLORE_MEMORY;
    } else if (g->most_effort && use.effort > g->most_effort) {
        g->end = EXPLORE_INTERRUPTED;
        g->spent = true;
    }
    if (g->end == EXPLORE_COMPLETE && g->interrupted &&
        g->interrupted(g->interrupted_context))
        g->end = EXPLORE_INTERRUPTED;
    return g->end == EXPLORE_COMPLETE;
}
