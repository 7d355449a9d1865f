#include "engine/explore.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/pack.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/store.h"

enum { WAYS_PER_LOOK = 1 << 14 };

/* A run while it lasts. */
struct run {
    struct exploration *x;
    struct explore_setting setting;
    uint64_t *words;   /* of what is known already */
    uint32_t n_wanted; /* watches of `until` not yet seen */
    uint32_t unlooked; /* ways since the last look for a signal */
};

static uint32_t count_wanted(const struct run *run)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < run->x->slice->n_watches; i++)
        n += run->setting.until && run->setting.until[i];
    return n;
}

static bool goes_on(const struct run *run)
{
    return run->x->end == EXPLORE_COMPLETE;
}

/* What was asked for is seen: nothing that comes later changes that. */
static void stop(struct run *run, enum explore_end end)
{
    if (goes_on(run))
        run->x->end = end;
}

/* Notes the watches that hold at a leaf for the first time. */
static void note_watches(struct run *run, const struct expander *w,
                         uint32_t level)
{
    const struct plan_roots *roots = &w->plan->watches;
    uint32_t *seen = run->x->watch_level;

    for (uint32_t i = 0; i < roots->n; i++) {
        if (seen[i] || !w->eval->value[roots->at[i]])
            continue;
        seen[i] = level;
        if (run->setting.until && run->setting.until[i] &&
            --run->n_wanted == 0)
            stop(run, EXPLORE_SEEN);
    }
}

/* Is that more work than is allowed? */
static void look_for_work(struct run *run)
{
    struct exploration *x = run->x;

    if (x->most_work == 0 ||
        x->first->eval->work + x->next->eval->work <= x->most_work ||
        !goes_on(run))
        return;
    x->spent = true;
    stop(run, EXPLORE_INTERRUPTED);
}

static void look_for_signal(struct run *run)
{
    look_for_work(run);
    if (++run->unlooked < WAYS_PER_LOOK)
        return;
    run->unlooked = 0;
    if (run->setting.interrupted &&
        run->setting.interrupted(run->setting.interrupted_context))
        stop(run, EXPLORE_INTERRUPTED);
}

static void keep(struct run *run, const uint64_t *words)
{
    struct store *store = run->x->store;
    uint64_t most = run->setting.most_situations;

    if (most && store_count(store) >= most) {
        if (store_find(store, words) == STORE_NONE)
            stop(run, EXPLORE_SITUATIONS);
        return;
    }
    if (store_add(store, words, NULL) == STORE_FULL)
        stop(run, EXPLORE_MEMORY);
}

/* A breach at the very leaf that reaches a limit still counts: watches come
 * before the store. */
static void take_leaf(struct run *run, struct expander *w, uint32_t level)
{
    if (w->fork->ended != FLAT_NONE) {
        if (!run->x->end_level[w->fork->ended])
            run->x->end_level[w->fork->ended] = level;
        return;
    }
    note_watches(run, w, level);
    keep(run, expander_target(w));
}

/* Looks at every way out of one situation; level: of the judging. */
static void expand(struct run *run, uint64_t from, uint32_t level)
{
    struct exploration *x = run->x;
    struct expander *w = level == 1 ? x->first : x->next;
    enum fork_event event;

    exploration_begin(x, w, from);
    while (goes_on(run) && (event = expander_next(w)) != FORK_DONE) {
        if (event == FORK_LEAF)
            take_leaf(run, w, level);
        else if (x->dead_end == FLAT_NONE)
            x->dead_end = level - 1;
        look_for_signal(run);
    }
}

static void expand_level(struct run *run, uint32_t level)
{
    const uint64_t *starts = run->x->starts.at;

    if (level == 1) {
        expand(run, UINT64_MAX, 1);
        return;
    }
    for (uint64_t s = starts[level - 2];
         s < starts[level - 1] && goes_on(run); s++)
        expand(run, s, level);
}

static void report(const struct run *run, uint32_t level)
{
    if (run->setting.progress)
        run->setting.progress(run->setting.progress_context, level,
                              store_count(run->x->store));
}

/* Level by level, until one brings nothing new. */
static void explore_levels(struct run *run)
{
    struct exploration *x = run->x;
    uint64_t before;

    do {
        before = store_count(x->store);
        expand_level(run, x->judged + 1);
        if (store_count(x->store) > before)
            vec_push(&x->starts, store_count(x->store));
        if (!goes_on(run))
            return;
        x->judged++;
        ENSURE(x->judged < UINT32_MAX - 1);
        report(run, x->judged);
    } while (store_count(x->store) > before);
}

static struct run begin(const struct slice *slice,
                        const struct explore_setting *setting)
{
    struct run run = {0};

    if (setting)
        run.setting = *setting;
    run.x = exploration_new(slice, run.setting.most_bytes,
                            run.setting.fixed_first,
                            run.setting.fixed_next);
    run.x->most_work = run.setting.most_work;
    exploration_listen(run.x, run.setting.interrupted,
                       run.setting.interrupted_context);
    return run;
}

struct exploration *explore(const struct slice *slice,
                            const struct explore_setting *setting)
{
    struct run run = begin(slice, setting);

    run.n_wanted = count_wanted(&run);
    explore_levels(&run);
    return run.x;
}

void exploration_listen(struct exploration *x,
                        bool (*interrupted)(void *context), void *context)
{
    x->interrupted = interrupted;
    x->interrupted_context = context;
}

/* ---- what is known already ---- */

static bool take_known(void *context, const int64_t *cells)
{
    struct run *run = context;
    const struct pack *pack = run->x->pack;

    memset(run->words, 0, pack->n_words * sizeof *run->words);
    for (uint32_t i = 0; i < pack->n_fields; i++)
        ENSURE(pack_put(&pack->fields[i], run->words, cells[i]));
    keep(run, run->words);
    look_for_signal(run);
    return goes_on(run);
}

struct exploration *explore_known(const struct slice *slice,
                                  const struct explore_setting *setting,
                                  const struct explore_known *known)
{
    struct run run = begin(slice, setting);
    struct exploration *x = run.x;

    run.words = arena_array(x->arena, x->pack->n_words, sizeof *run.words);
    for (uint32_t level = 1; level < known->length && goes_on(&run);
         level++) {
        known->list(known->context, level, take_known, &run);
        vec_push(&x->starts, store_count(x->store));
        x->judged++;
    }
    return x;
}

void exploration_free(struct exploration *x)
{
    if (!x)
        return;
    store_free(x->store);
    vec_release(&x->starts);
    arena_free(x->arena);
}

enum explore_end exploration_end(const struct exploration *x)
{
    return (enum explore_end)x->end;
}

bool exploration_spent(const struct exploration *x)
{
    return x->spent;
}

uint64_t exploration_situations(const struct exploration *x)
{
    return store_count(x->store);
}

/* In a complete run the last judging brought nothing new, and there is no
 * level for it. */
uint32_t exploration_levels(const struct exploration *x)
{
    uint32_t filled = (uint32_t)x->starts.n - 1;

    return x->judged < filled ? x->judged : filled;
}

uint64_t exploration_level_size(const struct exploration *x, uint32_t level)
{
    if (level == 0 || level >= x->starts.n)
        return 0;
    return x->starts.at[level] - x->starts.at[level - 1];
}

uint32_t exploration_watch_level(const struct exploration *x,
                                 uint32_t watch)
{
    ENSURE(watch < x->slice->n_watches);
    return x->watch_level[watch];
}

uint32_t exploration_dead_end(const struct exploration *x)
{
    return x->dead_end;
}

uint32_t exploration_end_level(const struct exploration *x, uint32_t end)
{
    ENSURE(end < x->slice->n_ends);
    return x->end_level[end];
}

uint64_t exploration_reduced(const struct exploration *x)
{
    return x->first->reduced + x->next->reduced;
}

size_t exploration_bytes(const struct exploration *x)
{
    return store_bytes(x->store) + arena_used(x->arena) +
           x->starts.cap * sizeof *x->starts.at;
}

int64_t exploration_value(const struct exploration *x, uint64_t situation,
                          uint32_t cell)
{
    ENSURE(cell < x->pack->n_fields);
    return pack_get(&x->pack->fields[cell], store_at(x->store, situation));
}
