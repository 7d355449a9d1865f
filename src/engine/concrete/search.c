#include "engine/concrete/search.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/plan.h"
#include "logic/slice.h"

enum { WAYS_PER_LOOK = 1 << 12 };

static void charge(const struct search *s, struct expander *w)
{
    uint32_t n = s->exploration->slice->n_choices;
    cost *price = arena_array(s->scratch, n, sizeof *price);
    uint32_t *free = arena_array(s->scratch, n, sizeof *free);

    cost_prices(w->plan, price, free);
    fork_charge(w->fork, price, free);
}

struct search *search_new(struct exploration *x)
{
    struct arena *scratch = arena_new();
    struct search *s = ARENA_NEW(scratch, struct search);

    s->exploration = x;
    s->scratch = scratch;
    s->first = exploration_walker(x, scratch, true, PLAN_MOTIONS);
    s->next = exploration_walker(x, scratch, false, PLAN_MOTIONS);
    charge(s, s->first);
    charge(s, s->next);
    s->merged =
        arena_array(scratch, x->slice->n_choices, sizeof *s->merged);
    return s;
}

void search_free(struct search *s)
{
    arena_free(s->scratch);
}

struct expander *search_walker(struct search *s, uint32_t row)
{
    struct expander *w = row == 1 ? s->first : s->next;
    const uint32_t *always = row == 1 ? s->exploration->fixed_first
                                      : s->exploration->fixed_next;
    uint32_t n = s->exploration->slice->n_choices;

    if (!s->fixed)
        return w;
    memcpy(s->merged, s->fixed + (size_t)(row - 1) * n,
           n * sizeof *s->merged);
    for (uint32_t i = 0; always && i < n; i++)
        if (s->merged[i] == FLAT_NONE)
            s->merged[i] = always[i];
    expander_fix(w, s->merged);
    return w;
}

bool search_is_left(struct search *s)
{
    uint64_t most = s->exploration->most_work;

    if (most && s->first->eval->work + s->next->eval->work > most)
        s->interrupted = true;
    if (++s->unlooked >= WAYS_PER_LOOK) {
        s->unlooked = 0;
        s->interrupted = s->interrupted ||
                         exploration_is_interrupted(s->exploration);
    }
    return s->interrupted;
}

/* Cost of where the walker stands plus what is ahead of it; COST_NEVER where
 * that is more than `most`. */
static cost way_cost(const struct search *s, struct expander *w,
                     enum fork_event event, const struct ahead *ahead,
                     cost most)
{
    uint64_t to;
    cost here;

    if (event == FORK_LEFT_OUT)
        return COST_NEVER;
    if (!ahead)
        return s->goal(s, w, event) ? cost_here(w) : COST_NEVER;
    if (event != FORK_LEAF || w->fork->ended != FLAT_NONE)
        return COST_NEVER;
    here = cost_here(w);
    if (cost_add(here, ahead->least) > most)
        return COST_NEVER;
    to = exploration_target(s->exploration, w);
    if (to < ahead->base || to >= ahead->end)
        return COST_NEVER;
    return cost_add(here, ahead->at[to - ahead->base]);
}

/* What is decided costs no less in the end, and what is ahead no less than
 * the least of it. */
static void limit(const struct search *s, struct expander *w,
                  const struct ahead *ahead, cost most)
{
    uint32_t must = !ahead && s->needs_watch
                        ? w->plan->watches.at[s->index] : FLAT_NONE;

    if (!ahead && s->unlimited)
        return;
    if (most != COST_NEVER && ahead)
        most -= ahead->least < most ? ahead->least : most;
    fork_limit(w->fork, most, must);
}

cost search_least(struct search *s, struct expander *w, uint64_t from,
                  const struct ahead *ahead)
{
    cost best = COST_NEVER;
    enum fork_event event;

    if (ahead && ahead->least == COST_NEVER)
        return COST_NEVER;
    exploration_begin(s->exploration, w, from);
    limit(s, w, ahead, best);
    while ((event = expander_next(w)) != FORK_DONE && !search_is_left(s)) {
        cost here = way_cost(s, w, event, ahead, best);

        if (here >= best)
            continue;
        best = here;
        if (best == 0)
            break;
        limit(s, w, ahead, best - 1);
    }
    return best;
}

/* One row of the result while it is looked for. */
struct pick {
    cost total, here;
    uint64_t to;
    uint32_t *choices, *trial;
    bool *decided;
};

static void keep(const struct search *s, struct expander *w,
                 struct pick *pick, bool last)
{
    uint32_t n = w->plan->n_choices;

    memcpy(pick->choices, pick->trial, n * sizeof *pick->choices);
    for (uint32_t i = 0; i < n; i++)
        pick->decided[i] = w->fork->choice[i] != FLAT_NONE;
    pick->here = cost_here(w);
    pick->to = last ? 0 : exploration_target(s->exploration, w);
}

/* Of all ways of least cost the one with the smallest choices.  That cost is
 * found first: of ways that cost the same those can be left out that come
 * later whatever is still decided. */
static void choose(struct search *s, struct expander *w, uint64_t from,
                   const struct ahead *ahead, struct pick *pick)
{
    cost least = search_least(s, w, from, ahead);
    uint32_t n = w->plan->n_choices;
    enum fork_event event;

    pick->total = COST_NEVER;
    exploration_begin(s->exploration, w, from);
    limit(s, w, ahead, least);
    while (least != COST_NEVER && (event = expander_next(w)) != FORK_DONE &&
           !search_is_left(s)) {
        if (way_cost(s, w, event, ahead, least) != least)
            continue;
        cost_choices(w, pick->trial);
        if (pick->total == least &&
            !cost_before(w->plan->choices, n, pick->trial, pick->choices))
            continue;
        pick->total = least;
        keep(s, w, pick, !ahead);
        if (ahead || !s->unlimited)
            fork_surpass(w->fork, pick->choices);
    }
}

struct making search_make(struct search *s, struct arena *arena)
{
    uint32_t n = s->exploration->slice->n_choices;
    size_t all = (size_t)n * s->length;
    struct making m = {.n_choices = n, .from = UINT64_MAX};

    m.choices = arena_array(arena, all, sizeof *m.choices);
    m.decided = arena_array(arena, all, sizeof *m.decided);
    m.trial = arena_array(s->scratch, n, sizeof *m.trial);
    return m;
}

bool search_add_row(struct search *s, struct making *m, uint32_t row,
                    const struct ahead *ahead)
{
    size_t at = (size_t)(row - 1) * m->n_choices;
    struct pick pick = {.choices = m->choices + at,
                        .trial = m->trial,
                        .decided = m->decided + at};

    choose(s, search_walker(s, row), m->from, ahead, &pick);
    if (pick.total == COST_NEVER || s->interrupted)
        return false;
    m->sum = cost_add(m->sum, pick.here);
    m->from = pick.to;
    return true;
}
