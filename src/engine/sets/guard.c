#include "engine/sets/guard.h"

#include "engine/sets/room.h"

bool guard_passes(struct guard *g)
{
    if (g->end == EXPLORE_COMPLETE && room_use(g->room).full)
        g->end = EXPLORE_MEMORY;
    if (g->end == EXPLORE_COMPLETE && g->interrupted &&
        g->interrupted(g->interrupted_context))
        g->end = EXPLORE_INTERRUPTED;
    return g->end == EXPLORE_COMPLETE;
}
