#include "engine/found.h"

#include <inttypes.h>

#include "base/arena.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/pack.h"
#include "engine/concrete/store.h"

static void add_levels(struct arena *arena, const struct exploration *x,
                       struct reach *reach)
{
    uint64_t *size;

    reach->levels = exploration_levels(x);
    size = arena_array(arena, (size_t)reach->levels + 1, sizeof *size);
    for (uint32_t i = 0; i < reach->levels; i++) {
        size[i] = exploration_level_size(x, i + 1);
        reach->situations += size[i];
    }
    reach->level_size = size;
    reach->count = arena_printf(arena, "%" PRIu64, reach->situations);
}

static void add_seen(struct arena *arena, const struct exploration *x,
                     struct reach *reach)
{
    uint32_t n_watches = x->slice->n_watches, n_ends = x->slice->n_ends;
    uint32_t *watch = arena_array(arena, (size_t)n_watches + 1,
                                  sizeof *watch);
    uint32_t *end = arena_array(arena, (size_t)n_ends + 1, sizeof *end);

    for (uint32_t i = 0; i < n_watches; i++)
        watch[i] = exploration_watch_level(x, i);
    for (uint32_t i = 0; i < n_ends; i++)
        end[i] = exploration_end_level(x, i);
    reach->watch_level = watch;
    reach->end_level = end;
}

static void add_ranges(struct arena *arena, const struct exploration *x,
                       struct reach *reach)
{
    uint32_t n = x->slice->n_cells;
    int64_t *low = arena_array(arena, (size_t)n + 1, sizeof *low);
    int64_t *high = arena_array(arena, (size_t)n + 1, sizeof *high);
    uint64_t count = store_count(x->store);

    for (uint64_t s = 0; s < count; s++) {
        const uint64_t *words = store_at(x->store, s);

        for (uint32_t c = 0; c < n; c++) {
            int64_t value = pack_get(&x->pack->fields[c], words);

            if (s == 0 || value < low[c])
                low[c] = value;
            if (s == 0 || value > high[c])
                high[c] = value;
        }
    }
    reach->low = low;
    reach->high = high;
}

const struct reach *found_reach(struct arena *arena,
                                const struct exploration *x)
{
    struct reach *reach = ARENA_NEW(arena, struct reach);

    reach->end = exploration_end(x);
    add_levels(arena, x, reach);
    add_seen(arena, x, reach);
    reach->dead_end = exploration_dead_end(x);
    reach->reduced = exploration_reduced(x) != 0;
    if (reach->end == EXPLORE_COMPLETE)
        add_ranges(arena, x, reach);
    reach->bytes = exploration_bytes(x);
    return reach;
}
