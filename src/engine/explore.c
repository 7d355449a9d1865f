#include "engine/explore.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/store.h"

enum { LEAVES_PER_LOOK = 1 << 14 };

static uint32_t count_wanted(const struct exploration *x)
{
    uint32_t n = 0;

    for (uint32_t i = 0; x->setting.until && i < x->slice->n_watches; i++)
        n += x->setting.until[i];
    return n;
}

static void stop(struct exploration *x, enum explore_end end)
{
    if (x->end == EXPLORE_COMPLETE)
        x->end = end;
}

/* Notes the watches that hold at a leaf for the first time. */
static void note_watches(struct exploration *x, struct expander *w,
                         uint32_t level)
{
    const struct plan_roots *roots = &w->plan->watches;

    for (uint32_t i = 0; i < roots->n; i++) {
        if (x->watch_level[i] || !w->eval->value[roots->at[i]])
            continue;
        x->watch_level[i] = level;
        if (x->setting.until && x->setting.until[i] && --x->n_wanted == 0)
            stop(x, EXPLORE_SEEN);
    }
}

static void note_end(struct exploration *x, uint32_t end, uint32_t level)
{
    if (!x->end_level[end])
        x->end_level[end] = level;
}

static void look_for_signal(struct exploration *x)
{
    if (x->until_check-- > 0)
        return;
    x->until_check = LEAVES_PER_LOOK;
    if (x->setting.interrupted && x->setting.interrupted())
        stop(x, EXPLORE_INTERRUPTED);
}

/* A breach at the very leaf that reaches a limit still counts: watches come
 * before the store. */
static void take_leaf(struct exploration *x, struct expander *w,
                      uint32_t level)
{
    uint64_t most = x->setting.most_situations;
    enum store_result result;
    const uint64_t *words;

    if (w->fork->ended != FLAT_NONE) {
        note_end(x, w->fork->ended, level);
        return;
    }
    note_watches(x, w, level);
    words = expander_target(w);
    if (most && store_count(x->store) >= most) {
        if (store_find(x->store, words) == STORE_NONE)
            stop(x, EXPLORE_SITUATIONS);
        return;
    }
    result = store_add(x->store, words, NULL);
    if (result == STORE_FULL)
        stop(x, EXPLORE_MEMORY);
}

/* Looks at every way out of one situation; level: of the judging. */
static void expand(struct exploration *x, uint64_t from, uint32_t level)
{
    struct expander *w = level == 1 ? x->first : x->next;
    enum fork_event event;

    exploration_begin(x, w, from);
    while (x->end == EXPLORE_COMPLETE &&
           (event = expander_next(w)) != FORK_DONE) {
        if (event == FORK_LEAF)
            take_leaf(x, w, level);
        else if (x->dead_end == FLAT_NONE)
            x->dead_end = level - 1;
        look_for_signal(x);
    }
}

static void expand_level(struct exploration *x, uint32_t level)
{
    if (level == 1) {
        expand(x, UINT64_MAX, 1);
        return;
    }
    for (uint64_t s = x->starts.at[level - 2];
         s < x->starts.at[level - 1] && x->end == EXPLORE_COMPLETE; s++)
        expand(x, s, level);
}

static void report(const struct exploration *x, uint32_t level)
{
    if (x->setting.progress)
        x->setting.progress(x->setting.progress_context, level,
                            store_count(x->store));
}

struct exploration *explore(const struct slice *slice,
                            const struct explore_setting *setting)
{
    struct exploration *x = exploration_new(slice, setting);
    uint32_t level = 1;
    uint64_t before;

    x->n_wanted = count_wanted(x);
    if (x->setting.until && x->n_wanted == 0)
        stop(x, EXPLORE_SEEN);
    do {
        before = x->starts.at[x->starts.n - 1];
        expand_level(x, level);
        if (store_count(x->store) > before)
            vec_push(&x->starts, store_count(x->store));
        if (x->end != EXPLORE_COMPLETE)
            return x;
        report(x, level);
        x->judged = level++;
    } while (store_count(x->store) > before);
    return x;
}

enum explore_end exploration_end(const struct exploration *x)
{
    return x->end;
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
