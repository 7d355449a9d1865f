#include "engine/concrete/search.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/plan.h"
#include "logic/slice.h"

struct search *search_new(struct exploration *x)
{
    struct arena *scratch = arena_new();
    struct search *s = ARENA_NEW(scratch, struct search);

    s->exploration = x;
    s->scratch = scratch;
    s->first = exploration_walker(x, scratch, true, PLAN_MOTIONS);
    s->next = exploration_walker(x, scratch, false, PLAN_MOTIONS);
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

/* Cost of where the walker stands plus what is ahead of it. */
static cost way_cost(const struct search *s, struct expander *w,
                     enum fork_event event, const struct ahead *ahead)
{
    uint64_t to;

    if (!ahead)
        return s->goal(s, w, event) ? cost_here(w) : COST_NEVER;
    if (event != FORK_LEAF || w->fork->ended != FLAT_NONE)
        return COST_NEVER;
    to = exploration_target(s->exploration, w);
    if (to < ahead->base || to >= ahead->end ||
        ahead->at[to - ahead->base] == COST_NEVER)
        return COST_NEVER;
    return cost_add(cost_here(w), ahead->at[to - ahead->base]);
}

cost search_least(const struct search *s, struct expander *w,
                  uint64_t from, const struct ahead *ahead)
{
    cost best = COST_NEVER;
    enum fork_event event;

    exploration_begin(s->exploration, w, from);
    while ((event = expander_next(w)) != FORK_DONE) {
        cost here = way_cost(s, w, event, ahead);

        if (here < best)
            best = here;
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

/* Of all ways of least cost the one with the smallest choices. */
static void choose(const struct search *s, struct expander *w, uint64_t from,
                   const struct ahead *ahead, struct pick *pick)
{
    uint32_t n = w->plan->n_choices;
    enum fork_event event;

    pick->total = COST_NEVER;
    exploration_begin(s->exploration, w, from);
    while ((event = expander_next(w)) != FORK_DONE) {
        cost total = way_cost(s, w, event, ahead);

        if (total == COST_NEVER || total > pick->total)
            continue;
        cost_choices(w, pick->trial);
        if (total == pick->total &&
            !cost_before(w->plan->choices, n, pick->trial, pick->choices))
            continue;
        pick->total = total;
        keep(s, w, pick, !ahead);
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
    if (pick.total == COST_NEVER)
        return false;
    m->sum = cost_add(m->sum, pick.here);
    m->from = pick.to;
    return true;
}
