#include "engine/tiles/run.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/thread.h"
#include "engine/tiles/bits.h"
#include "engine/tiles/keys.h"

/* Working out a result takes about as long as so many steps. */
enum { ROUNDS_PER_LOOK = 64, WORKED_WEIGHT = 12, NODES_PER_STEP = 8 };

/* A level of fewer entries is not worth waking others. */
enum { TOGETHER_FROM = 1 << 10 };

/* As many bits tell the shares apart: enough for even ones. */
enum { OWNER_BITS = 16 };

/* Slices beyond this are not cut: it would take too long. */
enum { MOST_NODES = 30000 };

static bool runs(const struct run *t)
{
    return !atomic_load_explicit(&t->over, memory_order_relaxed);
}

/* Of several reasons at once: that all was seen counts for most. */
static void stop(struct run *t, enum explore_end end)
{
    monitor_enter(t->monitor);
    if (t->reach.end == EXPLORE_COMPLETE || end == EXPLORE_SEEN)
        t->reach.end = end;
    atomic_store(&t->over, true);
    monitor_leave(t->monitor);
    if (t->crew)
        crew_stop(t->crew);
}

/* ---- what the lanes bring ---- */

static bool deal(struct share *s, const uint64_t *entries, uint32_t n,
                 uint32_t stride)
{
    struct run *t = s->run;
    uint32_t n_words = t->rest->n_words, n_set = bits_words(t->bits.n);
    uint64_t entry[SECTION_MOST_WORDS + BITS_MOST_WORDS];

    for (uint32_t i = 0; i < n; i++, entries += stride) {
        uint32_t owner = keys_owner(entries, t->owner, n_words,
                                    t->n_shares);

        memcpy(entry, entries, n_words * sizeof *entry);
        memcpy(entry + n_words, entries + stride - n_set,
               n_set * sizeof *entry);
        if (!crew_hand(t->crew, s->number, owner, entry))
            return false;
    }
    return runs(t);
}

static bool take_situations(void *context, const uint64_t *entries,
                            uint32_t n, uint32_t stride)
{
    struct share *s = context;
    struct run *t = s->run;
    uint64_t most = t->setting.most_situations;

    if (t->crew)
        return deal(s, entries, n, stride);
    if (!table_add(s->table, entries, n, stride, &s->found))
        stop(t, EXPLORE_MEMORY);
    else if (most && t->before + s->found > most)
        stop(t, EXPLORE_SITUATIONS);
    return runs(t);
}

static void see_watch(struct run *t, uint32_t watch)
{
    bool all = false;

    monitor_enter(t->monitor);
    if (!t->watch_level[watch]) {
        t->watch_level[watch] = t->level;
        all = t->setting.until && t->setting.until[watch] &&
              --t->n_wanted == 0;
    }
    monitor_leave(t->monitor);
    if (all)
        stop(t, EXPLORE_SEEN);
}

static bool take_seen(void *context, enum outcome_kind kind, uint32_t number)
{
    struct share *s = context;

    if (kind == OUTCOME_SEEN)
        see_watch(s->run, number);
    else if (kind == OUTCOME_ENDED)
        s->ended[number] = true;
    else if (kind == OUTCOME_DEAD)
        s->dead_end = true;
    return runs(s->run);
}

static void take_reduced(void *context)
{
    struct share *s = context;

    s->reduced = true;
}

static void be_full_at(void *context)
{
    struct share *s = context;

    stop(s->run, EXPLORE_MEMORY);
}

static bool goes_on(void *context)
{
    struct share *s = context;
    struct run *t = s->run;

    if (t->most_effort && run_effort(t) > t->most_effort)
        stop(t, EXPLORE_INTERRUPTED);
    if (++s->unlooked >= ROUNDS_PER_LOOK) {
        s->unlooked = 0;
        if (t->setting.interrupted &&
            t->setting.interrupted(t->setting.interrupted_context))
            stop(t, EXPLORE_INTERRUPTED);
    }
    return runs(t);
}

/* ---- levels ---- */

static bool walk_first(struct run *t)
{
    uint64_t entry[SECTION_MOST_WORDS + BITS_MOST_WORDS] = {0};

    bits_fill(t->bits.n, entry + t->rest->n_words);
    return lane_begin(&t->first, entry) && lane_finish(&t->first);
}

static bool walk_share(const struct share *s)
{
    uint64_t entry[SECTION_MOST_WORDS + BITS_MOST_WORDS] = {0};
    uint64_t n = table_level(s->table);

    for (uint64_t i = 0; i < n; i++) {
        table_level_at(s->table, i, entry);
        if (!lane_begin(s->lane, entry))
            return false;
    }
    return lane_finish(s->lane);
}

static void walk_level(struct run *t)
{
    uint64_t n = 0;

    if (t->level == 1)
        walk_first(t);
    else if (!t->crew)
        walk_share(&t->shares[0]);
    else {
        for (uint32_t i = 0; i < t->n_shares; i++)
            n += table_level(t->shares[i].table);
        crew_walk(t->crew, n >= TOGETHER_FROM || t->setting.alone);
    }
}

/* A watch that was seen by one form need not be looked for by another. */
static void tell_seen(struct run *t)
{
    for (uint32_t i = 0; i < t->slice->n_watches; i++) {
        t->first.unseen[i] = !t->watch_level[i];
        for (uint32_t s = 0; s < t->n_shares; s++)
            t->shares[s].lane->unseen[i] = !t->watch_level[i];
    }
}

/* What the shares saw in a level, and how many situations they found. */
static uint64_t gather(struct run *t)
{
    uint64_t found = 0;

    for (uint32_t s = 0; s < t->n_shares; s++) {
        struct share *share = &t->shares[s];

        found += share->found;
        share->found = 0;
        t->reach.reduced |= share->reduced;
        if (share->dead_end && t->reach.dead_end == FLAT_NONE)
            t->reach.dead_end = t->level - 1;
        for (uint32_t i = 0; i < t->slice->n_ends; i++)
            if (share->ended[i] && !t->end_level[i])
                t->end_level[i] = t->level;
    }
    return found;
}

static bool turn(struct run *t)
{
    bool room = true;

    for (uint32_t s = 0; s < t->n_shares; s++)
        room &= table_turn(t->shares[s].table);
    if (!room)
        stop(t, EXPLORE_MEMORY);
    return room;
}

bool run_level(struct run *t)
{
    uint64_t size;

    if (t->finished || !runs(t))
        return false;
    t->level++;
    ENSURE(t->level < UINT32_MAX - 1);
    tell_seen(t);
    walk_level(t);
    size = gather(t);
    t->found += size;
    if (!runs(t) || (size && !turn(t)))
        return false;
    if (size)
        vec_push(&t->sizes, size);
    t->before = t->found;
    t->finished = size == 0;
    if (t->setting.progress && t->level > t->told)
        t->setting.progress(t->setting.progress_context, t->level, t->found);
    return size > 0;
}

static uint64_t effort_of(const struct section *s)
{
    return s->quick + s->nodes / NODES_PER_STEP +
           (s->worked - s->quick) * WORKED_WEIGHT;
}

uint64_t run_effort(const struct run *t)
{
    uint64_t effort = 0;

    for (uint32_t s = 0; s < t->n_shares; s++) {
        const struct lane *lane = t->shares[s].lane;

        effort += lane->worked * (1 + bits_words(t->bits.n) / 4);
        for (uint32_t i = 0; i < lane->course->n_parts; i++)
            effort += effort_of(&lane->sections[i]);
    }
    return effort;
}

uint64_t run_tiles(const struct run *t)
{
    uint64_t n = 0;

    for (uint32_t s = 0; s < t->n_shares; s++)
        n += t->shares[s].table ? table_count(t->shares[s].table) : 0;
    return n;
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

static void widen_by_share(const struct run *t, const struct share *s,
                           bool *begun)
{
    uint64_t tile[SECTION_MOST_WORDS + BITS_MOST_WORDS], at = 0;

    for (; table_each(s->table, &at, tile); *begun = true)
        widen_by_tile(t, tile, *begun, t->low, t->high);
}

static void find_ranges(struct run *t)
{
    uint32_t n = t->slice->n_cells;
    bool begun = false;

    t->low = arena_array(t->arena, n, sizeof *t->low);
    t->high = arena_array(t->arena, n, sizeof *t->high);
    for (uint32_t s = 0; s < t->n_shares; s++)
        widen_by_share(t, &t->shares[s], &begun);
    t->reach.low = t->low;
    t->reach.high = t->high;
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

static void connect(struct lane *lane, struct share *share)
{
    const struct lane_sink sink = {share,   take_situations, take_seen,
                                   goes_on, take_reduced,    be_full_at};

    lane_connect(lane, &sink);
}

static void open_share(struct run *t, uint32_t number)
{
    struct share *s = &t->shares[number];

    s->run = t;
    s->number = number;
    s->lane = ARENA_NEW(t->arena, struct lane);
    s->ended = arena_array(t->arena, t->slice->n_ends, sizeof *s->ended);
}

static bool make_lane(struct share *s, const struct lane *like)
{
    struct run *t = s->run;
    bool room;

    t->plan.like = like;
    room = lane_init(s->lane, t->arena, &t->plan, &t->budget);
    connect(s->lane, s);
    return room;
}

static bool make_lanes(struct run *t)
{
    struct lane_plan first = {.slice = t->slice, .bits = &t->bits,
                              .rest = t->rest, .first = true,
                              .kind = t->kind == COURSE_WHOLE
                                          ? COURSE_WHOLE
                                          : COURSE_QUICK,
                              .fixed = t->setting.fixed_first};
    bool room = lane_init(&t->first, t->arena, &first, &t->budget);

    connect(&t->first, &t->shares[0]);
    t->plan = first;
    t->plan.first = false;
    t->plan.kind = t->kind;
    t->plan.fixed = t->setting.fixed_next;
    return make_lane(&t->shares[0], NULL) && room;
}

static struct table *make_table(struct run *t)
{
    return t->bits.n == 0 && t->rest->bits <= 64
               ? table_of_bits(&t->budget, t->rest->bits)
               : table_new(&t->budget, t->rest->n_words, t->bits.n);
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
    t->n_shares = 1;
    t->shares = arena_array(t->arena, CREW_MOST, sizeof *t->shares);
    open_share(t, 0);
    t->shares[0].table = make_table(t);
    if (!make_lanes(t) || !t->shares[0].table)
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
    t->monitor = monitor_new();
    take_bits(t, cell, n);
    open_run(t);
    return t;
}

void run_free(struct run *t)
{
    if (!t)
        return;
    crew_free(t->crew);
    lane_release(&t->first);
    for (uint32_t s = 0; s < t->n_shares; s++) {
        lane_release(t->shares[s].lane);
        table_free(t->shares[s].table);
    }
    monitor_free(t->monitor);
    vec_release(&t->sizes);
    arena_free(t->arena);
}

/* ---- several threads ---- */

static void walk_one(void *context, uint32_t number)
{
    const struct run *t = context;

    walk_share(&t->shares[number]);
}

static bool take_in(void *context, uint32_t number, const uint64_t *entries,
                    uint32_t n)
{
    struct run *t = context;
    struct share *s = &t->shares[number];
    uint32_t stride = t->rest->n_words + bits_words(t->bits.n);

    if (!table_add(s->table, entries, n, stride, &s->found))
        stop(t, EXPLORE_MEMORY);
    return runs(t);
}

static bool all_go_on(void *context)
{
    return runs(context);
}

static void be_full(void *context)
{
    stop(context, EXPLORE_MEMORY);
}

/* The tables of n shares; false: no bytes left. */
static bool deal_out(struct run *t, uint32_t n)
{
    struct table *own[CREW_MOST] = {NULL};
    bool room = true;

    for (uint32_t s = 0; s < n && room; s++) {
        own[s] = make_table(t);
        room = own[s] != NULL;
    }
    room = room && table_deal(t->shares[0].table,
                              &(struct deal){own, n, t->owner});
    for (uint32_t s = 0; s < n && !room; s++)
        table_free(own[s]);
    if (!room)
        return false;
    table_free(t->shares[0].table);
    for (uint32_t s = 0; s < n; s++)
        t->shares[s].table = own[s];
    return true;
}

/* Of the cells that are not taken one that is read last. */
static uint32_t last_read(const struct run *t, const bool *taken)
{
    const struct lane *lane = t->shares[0].lane;
    uint32_t best = FLAT_NONE;
    int64_t latest = -2;

    for (uint32_t c = 0; c < t->slice->n_cells; c++) {
        uint32_t last = lane->places->last[outline_cell_item(lane->form, c)];
        int64_t at = last == FLAT_NONE ? -1 : (int64_t)last;

        if (taken[c] || t->rest->cells[c].bits == 0 || at <= latest)
            continue;
        latest = at;
        best = c;
    }
    ENSURE(best != FLAT_NONE);
    return best;
}

/* Half finished scans become equal as cells are read for the last time.  So
 * shares are told by cells that are read last: what will become equal is
 * then mostly in one. */
static void find_owner(struct run *t)
{
    uint32_t bits = 0;
    bool *taken = arena_array(t->arena, t->slice->n_cells, sizeof *taken);

    t->owner = arena_array(t->arena, t->rest->n_words, sizeof *t->owner);
    while (bits < OWNER_BITS && bits < t->rest->bits) {
        uint32_t best = last_read(t, taken);
        const struct pack_field *f = &t->rest->cells[best];

        taken[best] = true;
        bits += f->bits;
        t->owner[f->word] |= (UINT64_MAX >> (64 - f->bits)) << f->shift;
    }
}

void run_spread(struct run *t, uint32_t threads)
{
    const struct crew_job job = {
        t, t->rest->n_words + bits_words(t->bits.n), walk_one, take_in,
        all_go_on, be_full};
    uint32_t n = threads < CREW_MOST ? threads : CREW_MOST, made = 1;
    size_t used = arena_used(t->arena);
    bool room = true;

    if (t->finished || !runs(t) || t->level == 0)
        return;
    find_owner(t);
    for (; made < n && room; made++) {
        open_share(t, made);
        room = make_lane(&t->shares[made], t->shares[0].lane);
    }
    t->budget.held += arena_used(t->arena) - used;
    if (room)
        t->crew = crew_new(&job, n, &t->budget);
    if (t->crew && deal_out(t, n)) {
        t->n_shares = n;
        return;
    }
    t->setting.threads = 1; /* it is not tried again */
    crew_free(t->crew);
    t->crew = NULL;
    for (uint32_t s = 1; s < made; s++)
        lane_release(t->shares[s].lane);
}
