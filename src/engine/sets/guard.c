#include "engine/sets/guard.h"

#include "engine/sets/room.h"

static void look(struct guard *g, const struct room_use *use)
{
    if (g->most_effort && use->effort > g->most_effort) {
        g->end = EXPLORE_INTERRUPTED;
        g->spent = true;
    } else if (g->interrupted && g->interrupted(g->interrupted_context)) {
        g->end = EXPLORE_INTERRUPTED;
    }
}

bool guard_passes(struct guard *g)
{
    struct room_use use;

    if (g->end != EXPLORE_COMPLETE)
        return false;
    use = room_use(g->room);
    if (use.full)
        g->end = EXPLORE_MEMORY;
    else
        look(g, &use);
    return g->end == EXPLORE_COMPLETE;
}

bool guard_stops(void *context)
{
    struct guard *g = context;
    const struct room_use use = room_use(g->room);

    if (g->end == EXPLORE_COMPLETE)
        look(g, &use);
    return g->end != EXPLORE_COMPLETE;
}
