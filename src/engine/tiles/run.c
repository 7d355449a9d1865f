#include "engine/tiles/run.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/tiles/bits.h"

/* Working out a result takes about as long as so many steps. */
enum { ROUNDS_PER_LOOK = 64, WORKED_WEIGHT = 12 };

/* Slices beyond this are not cut: it would take too long. */
enum { MOST_NODES = 30000 };

static void stop(struct run *t, enum explore_end end)
{
    if (t->reach.end == EXPLORE_COMPLETE)
        t->reach.end = end;
}

static bool runs(const struct run *t)
{
    return t->reach.end == EXPLORE_COMPLETE;
}

/* ---- what the lanes bring ---- */

static bool take_situations(void *context, const uint64_t *entries,
                            uint32_t n, uint32_t stride)
{
    struct run *t = context;
    uint64_t most = t->setting.most_situations;

    if (!table_add(t->table, entries, n, stride, &t->found))
        stop(t, EXPLORE_MEMORY);
    else if (most && t->found > most)
        stop(t, EXPLORE_SITUATIONS);
    return runs(t);
}

static void see_watch(struct run *t, uint32_t watch)
{
    if (t->watch_level[watch])
        return;
    t->watch_level[watch] = t->level;
    if (t->setting.until && t->setting.until[watch] && --t->n_wanted == 0)
        stop(t, EXPLORE_SEEN);
}

static bool take_seen(void *context, enum outcome_kind kind, uint32_t number)
{
    struct run *t = context;

    if (kind == OUTCOME_SEEN)
        see_watch(t, number);
    else if (kind == OUTCOME_ENDED && !t->end_level[number])
        t->end_level[number] = t->level;
    else if (kind == OUTCOME_DEAD && t->reach.dead_end == FLAT_NONE)
        t->reach.dead_end = t->level - 1;
    return runs(t);
}

static void take_reduced(void *context)
{
    struct run *t = context;

    t->reach.reduced = true;
}

static bool goes_on(void *context)
{
    struct run *t = context;

    if (t->most_effort && run_effort(t) > t->most_effort)
        stop(t, EXPLORE_INTERRUPTED);
    if (++t->unlooked >= ROUNDS_PER_LOOK) {
        t->unlooked = 0;
        if (t->setting.interrupted &&
            t->setting.interrupted(t->setting.interrupted_context))
            stop(t, EXPLORE_INTERRUPTED);
    }
    return runs(t);
}

/* ---- levels ---- */

static bool walk_level(struct run *t)
{
    uint64_t entry[SECTION_MOST_WORDS + BITS_MOST_WORDS] = {0};
    uint64_t n = table_level(t->table);

    if (t->level == 1) {
        bits_fill(t->bits.n, entry + t->rest->n_words);
        return lane_begin(&t->first, entry) && lane_finish(&t->first);
    }
    for (uint64_t i = 0; i < n; i++) {
        table_level_at(t->table, i, entry);
        if (!lane_begin(&t->next, entry))
            return false;
    }
    return lane_finish(&t->next);
}

/* A watch that was seen by one form need not be looked for by the other. */
static void tell_seen(struct run *t)
{
    for (uint32_t i = 0; i < t->slice->n_watches; i++)
        t->first.unseen[i] = t->next.unseen[i] = !t->watch_level[i];
}

bool run_level(struct run *t)
{
    uint64_t size;

    if (t->finished || !runs(t))
        return false;
    t->level++;
    ENSURE(t->level < UINT32_MAX - 1);
    tell_seen(t);
    if (!walk_level(t))
        return false;
    size = t->found - t->before;
    if (size && !table_turn(t->table)) {
        stop(t, EXPLORE_MEMORY);
        return false;
    }
    if (size)
        vec_push(&t->sizes, size);
    t->before = t->found;
    t->finished = size == 0;
    if (t->setting.progress && t->level > t->told)
        t->setting.progress(t->setting.progress_context, t->level, t->found);
    return size > 0;
}

uint64_t run_effort(const struct run *t)
{
    uint64_t worked = 0;

    for (uint32_t i = 0; i < t->next.course->n_parts; i++)
        worked += t->next.sections[i].worked;
    return t->next.worked * (1 + bits_words(t->bits.n) / 4) +
           worked * WORKED_WEIGHT;
}

/* ---- the result ---- */

static void widen(int64_t *low, int64_t *high, int64_t value, bool begun)
{
    if (!begun || value < *low)
        *low = value;
    if (!begun || value > *high)
        *high = value;
}

static void widen_by_tile(const struct run *t, const uint64_t *tile,
                          bool begun, int64_t *low, int64_t *high)
{
    const struct slice *s = t->slice;
    uint32_t k = t->bits.n;

    for (uint32_t c = 0; c < s->n_cells; c++) {
        uint32_t bit = t->bits.of[c];
        const uint64_t *set = tile + t->rest->n_words;

        if (bit == FLAT_NONE) {
            widen(&low[c], &high[c], pack_get(&t->rest->cells[c], tile),
                  begun);
            continue;
        }
        for (unsigned on = 0; on < 2; on++)
            if (bits_has(k, set, bit, on))
                widen(&low[c], &high[c],
                      s->cells[c].low + on * s->cells[c].unit,
                      begun || (on && bits_has(k, set, bit, false)));
    }
}

static void find_ranges(struct run *t)
{
    uint32_t n = t->slice->n_cells;
    int64_t *low = arena_array(t->arena, n, sizeof *low);
    int64_t *high = arena_array(t->arena, n, sizeof *high);
    uint64_t tile[SECTION_MOST_WORDS + BITS_MOST_WORDS], at = 0;

    for (bool begun = false; table_each(t->table, &at, tile); begun = true)
        widen_by_tile(t, tile, begun, low, high);
    t->reach.low = low;
    t->reach.high = high;
}

void run_conclude(struct run *t)
{
    struct reach *r = &t->reach;

    r->situations = t->before;
    r->count = arena_printf(t->arena, "%llu", (unsigned long long)t->before);
    r->levels = (uint32_t)t->sizes.n;
    r->level_size = t->sizes.at;
    r->watch_level = t->watch_level;
    r->end_level = t->end_level;
    if (runs(t))
        find_ranges(t);
    r->bytes = t->budget.held;
}

/* ---- beginning and end ---- */

static void take_bits(struct run *t, const uint32_t *cell, uint32_t n)
{
    uint32_t *own = arena_array(t->arena, n, sizeof *own);
    uint32_t *of = arena_array(t->arena, t->slice->n_cells, sizeof *of);

    for (uint32_t c = 0; c < t->slice->n_cells; c++)
        of[c] = FLAT_NONE;
    for (uint32_t i = 0; i < n; i++) {
        own[i] = cell[i];
        of[cell[i]] = i;
    }
    t->bits = (struct tile_bits){n, own, of};
}

static bool make_lanes(struct run *t)
{
    const struct lane_sink sink = {t, take_situations, take_seen, goes_on,
                                   take_reduced};
    struct lane_plan plan = {.slice = t->slice, .bits = &t->bits,
                             .rest = t->rest, .first = true,
                             .kind = t->kind == COURSE_WHOLE
                                         ? COURSE_WHOLE
                                         : COURSE_QUICK,
                             .fixed = t->setting.fixed_first};
    bool room;

    room = lane_init(&t->first, t->arena, &plan, &t->budget);
    plan.first = false;
    plan.kind = t->kind;
    plan.fixed = t->setting.fixed_next;
    room &= lane_init(&t->next, t->arena, &plan, &t->budget);
    t->first.sink = t->next.sink = sink;
    return room;
}

static void open_run(struct run *t)
{
    const struct slice *s = t->slice;

    t->reach.dead_end = FLAT_NONE;
    t->reach.end = EXPLORE_COMPLETE;
    t->watch_level = arena_array(t->arena, s->n_watches, sizeof(uint32_t));
    t->end_level = arena_array(t->arena, s->n_ends, sizeof(uint32_t));
    for (uint32_t i = 0; i < s->n_watches; i++)
        t->n_wanted += t->setting.until && t->setting.until[i];
    t->rest = rest_new(t->arena, s, &t->bits);
    t->table = t->bits.n == 0 && t->rest->bits <= 64
                   ? table_of_bits(&t->budget, t->rest->bits)
                   : table_new(&t->budget, t->rest->n_words, t->bits.n);
    if (!make_lanes(t) || !t->table)
        stop(t, EXPLORE_MEMORY);
    t->budget.held += arena_used(t->arena);
}

struct run *run_new(const struct slice *slice,
                    const struct explore_setting *setting,
                    const uint32_t *cell, uint32_t n, enum course_kind kind)
{
    struct arena *arena = arena_new();
    struct run *t = ARENA_NEW(arena, struct run);

    t->arena = arena;
    t->slice = slice;
    t->setting = *setting;
    t->budget.most = setting->most_bytes;
    t->kind = slice->n_nodes > MOST_NODES ? COURSE_WHOLE : kind;
    take_bits(t, cell, n);
    open_run(t);
    return t;
}

void run_free(struct run *t)
{
    if (!t)
        return;
    lane_release(&t->first);
    lane_release(&t->next);
    table_free(t->table);
    vec_release(&t->sizes);
    arena_free(t->arena);
}
