#include "engine/counted.h"

#include <inttypes.h>

#include "base/arena.h"
#include "engine/concrete/exploration.h"
#include "logic/slice.h"

static void find_levels(struct arena *arena, const struct exploration *x,
                        struct reach *made)
{
    uint32_t n = exploration_levels(x);
    uint64_t *size = arena_array(arena, n, sizeof *size);

    for (uint32_t i = 0; i < n; i++) {
        size[i] = exploration_level_size(x, i + 1);
        made->situations += size[i];
    }
    made->levels = n;
    made->level_size = size;
    made->count = arena_printf(arena, "%" PRIu64, made->situations);
}

static void find_seen(struct arena *arena, const struct exploration *x,
                      struct reach *made)
{
    const struct slice *s = x->slice;
    uint32_t *watch = arena_array(arena, s->n_watches, sizeof *watch);
    uint32_t *end = arena_array(arena, s->n_ends, sizeof *end);

    for (uint32_t i = 0; i < s->n_watches; i++)
        watch[i] = exploration_watch_level(x, i);
    for (uint32_t i = 0; i < s->n_ends; i++)
        end[i] = exploration_end_level(x, i);
    made->watch_level = watch;
    made->end_level = end;
}

/* Without a situation the range of a cell is its lowest value. */
static void find_ranges(struct arena *arena, const struct exploration *x,
                        struct reach *made)
{
    const struct slice *s = x->slice;
    uint64_t n = exploration_situations(x);
    int64_t *low = arena_array(arena, s->n_cells, sizeof *low);
    int64_t *high = arena_array(arena, s->n_cells, sizeof *high);

    for (uint32_t c = 0; c < s->n_cells; c++) {
        low[c] = high[c] =
            n ? exploration_value(x, 0, c) : s->cells[c].low;
        for (uint64_t i = 1; i < n; i++) {
            int64_t value = exploration_value(x, i, c);

            low[c] = value < low[c] ? value : low[c];
            high[c] = value > high[c] ? value : high[c];
        }
    }
    made->low = low;
    made->high = high;
}

const struct reach *exploration_reach(struct arena *arena,
                                      const struct exploration *x)
{
    struct reach *made = ARENA_NEW(arena, struct reach);

    made->end = exploration_end(x);
    find_levels(arena, x, made);
    find_seen(arena, x, made);
    made->dead_end = exploration_dead_end(x);
    made->reduced = exploration_reduced(x) != 0;
    if (made->end == EXPLORE_COMPLETE)
        find_ranges(arena, x, made);
    made->bytes = exploration_bytes(x);
    return made;
}
