#include "engine/reach.h"

#include <string.h>

#include "base/arena.h"

static void *copy(struct arena *arena, const void *at, size_t n, size_t size)
{
    void *to;

    if (at == NULL)
        return NULL;
    to = arena_array(arena, n + 1, size);
    if (n > 0)
        memcpy(to, at, n * size);
    return to;
}

const struct reach *reach_copy(struct arena *arena, const struct slice *slice,
                               const struct reach *reach)
{
    struct reach *to = ARENA_NEW(arena, struct reach);
    uint32_t n = slice->n_cells;

    *to = *reach;
    to->count = arena_copy(arena, reach->count, strlen(reach->count));
    to->level_size = copy(arena, reach->level_size, reach->levels,
                          sizeof *reach->level_size);
    to->watch_level = copy(arena, reach->watch_level, slice->n_watches,
                           sizeof *reach->watch_level);
    to->end_level = copy(arena, reach->end_level, slice->n_ends,
                         sizeof *reach->end_level);
    to->low = copy(arena, reach->low, n, sizeof *reach->low);
    to->high = copy(arena, reach->high, n, sizeof *reach->high);
    return to;
}

/* In a run that ended early, what was seen behind the last complete level
 * hangs on the order of work. */
static bool same_levels(const struct reach *a, const uint32_t *x,
                        const uint32_t *y, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if (x[i] != y[i] && (a->end == EXPLORE_COMPLETE ||
                             (x[i] != 0 && x[i] <= a->levels) ||
                             (y[i] != 0 && y[i] <= a->levels)))
            return false;
    return true;
}

static bool same_dead_end(const struct reach *a, const struct reach *b)
{
    bool early = a->end != EXPLORE_COMPLETE;

    return a->dead_end == b->dead_end ||
           (early && a->dead_end >= a->levels && b->dead_end >= b->levels);
}

static bool same_ranges(const struct slice *slice, const struct reach *a,
                        const struct reach *b)
{
    if ((a->low == NULL) != (b->low == NULL))
        return false;
    for (uint32_t i = 0; a->low != NULL && i < slice->n_cells; i++)
        if (a->low[i] != b->low[i] || a->high[i] != b->high[i])
            return false;
    return true;
}

static bool same_counts(const struct reach *a, const struct reach *b)
{
    if (a->levels != b->levels || strcmp(a->count, b->count) != 0)
        return false;
    for (uint32_t i = 0; i < a->levels; i++)
        if (a->level_size[i] != b->level_size[i])
            return false;
    return true;
}

const char *reach_differ(const struct slice *slice, const struct reach *a,
                         const struct reach *b)
{
    if (a->end != b->end)
        return "the engines do not come to the same end";
    if (!same_counts(a, b))
        return "the engines count differently";
    if (!same_levels(a, a->watch_level, b->watch_level, slice->n_watches) ||
        !same_levels(a, a->end_level, b->end_level, slice->n_ends))
        return "the engines see something at different scans";
    if (!same_dead_end(a, b))
        return "the engines find different dead ends";
    if (!same_ranges(slice, a, b))
        return "the engines find different ranges of values";
    return NULL;
}
