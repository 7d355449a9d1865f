#include "engine/sequence.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "engine/concrete/cost.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/store.h"
#include "engine/explore.h"
#include "logic/slice.h"

/* What the rest of the way costs, for situations base to end - 1. */
struct ahead {
    const cost *at;
    uint64_t base, end;
};

/* A search of `length` rows: row r leads from a situation after r - 1 scans
 * on, row 1 from nowhere. */
struct search {
    struct exploration *exploration;
    struct arena *scratch;
    struct expander *first, *next;
    enum sequence_goal goal;
    bool any_goal;  /* whatever situation the last row leads to */
    uint32_t index; /* of the goal */
    uint32_t length;
    const uint32_t *fixed; /* length rows or NULL */
    uint32_t *merged;      /* one row: fixed here and by the setting */
};

static struct search *search_new(struct exploration *x)
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

/* The walker for a row, with what is fixed in that row. */
static struct expander *walker_for(struct search *s, uint32_t row)
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

static bool is_goal(const struct search *s, struct expander *w,
                    enum fork_event event)
{
    bool lives = event == FORK_LEAF && w->fork->ended == FLAT_NONE;

    if (s->any_goal)
        return lives;
    switch (s->goal) {
    case GOAL_WATCH:
        return lives && w->eval->value[w->plan->watches.at[s->index]];
    case GOAL_END:
        return event == FORK_LEAF && w->fork->ended == s->index;
    default:
        return event == FORK_DEAD_END;
    }
}

/* Cost of where the walker stands plus what is ahead of it. */
static cost way_cost(const struct search *s, struct expander *w,
                     enum fork_event event, const struct ahead *ahead)
{
    uint64_t to;

    if (!ahead)
        return is_goal(s, w, event) ? cost_here(w) : COST_NEVER;
    if (event != FORK_LEAF || w->fork->ended != FLAT_NONE)
        return COST_NEVER;
    to = exploration_target(s->exploration, w);
    if (to < ahead->base || to >= ahead->end ||
        ahead->at[to - ahead->base] == COST_NEVER)
        return COST_NEVER;
    return cost_add(cost_here(w), ahead->at[to - ahead->base]);
}

/* The least cost from a situation on; ahead is NULL for the last row. */
static cost least(const struct search *s, struct expander *w, uint64_t from,
                  const struct ahead *ahead)
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

/* The result while rows are added to it. */
struct making {
    struct sequence *sequence;
    uint32_t *choices, *trial;
    bool *decided;
    cost sum;
    uint64_t from;
};

static struct making make(struct search *s, struct arena *arena)
{
    uint32_t n = s->exploration->slice->n_choices;
    size_t all = (size_t)n * s->length;
    struct making m = {.from = UINT64_MAX};

    m.sequence = ARENA_NEW(arena, struct sequence);
    m.choices = arena_array(arena, all, sizeof *m.choices);
    m.decided = arena_array(arena, all, sizeof *m.decided);
    m.trial = arena_array(s->scratch, n, sizeof *m.trial);
    m.sequence->length = s->length;
    m.sequence->n_choices = n;
    m.sequence->choices = m.choices;
    m.sequence->decided = m.decided;
    return m;
}

/* false: there is no way from here. */
static bool add_row(struct search *s, struct making *m, uint32_t row,
                    const struct ahead *ahead)
{
    size_t at = (size_t)(row - 1) * m->sequence->n_choices;
    struct pick pick = {.choices = m->choices + at,
                        .trial = m->trial,
                        .decided = m->decided + at};

    choose(s, walker_for(s, row), m->from, ahead, &pick);
    if (pick.total == COST_NEVER)
        return false;
    m->sum = cost_add(m->sum, pick.here);
    m->from = pick.to;
    return true;
}

static const struct sequence *finish(struct making *m)
{
    m->sequence->operator_cost = cost_operator(m->sum);
    m->sequence->fault_cost = cost_fault(m->sum);
    m->sequence->movement_cost = cost_movement(m->sum);
    return m->sequence;
}

/* ---- the shortest to a goal: row r leads into level r ---- */

static struct ahead level_ahead(const struct search *s, const cost *costs,
                                uint32_t level)
{
    const uint64_t *starts = s->exploration->starts.at;

    return (struct ahead){costs + starts[level - 1], starts[level - 1],
                          starts[level]};
}

static void go_back(struct search *s, cost *costs)
{
    const uint64_t *starts = s->exploration->starts.at;

    for (uint32_t row = s->length; row > 1; row--) {
        struct expander *w = walker_for(s, row);
        struct ahead ahead = {0};
        bool last = row == s->length;

        if (!last)
            ahead = level_ahead(s, costs, row);
        for (uint64_t i = starts[row - 2]; i < starts[row - 1]; i++)
            costs[i] = least(s, w, i, last ? NULL : &ahead);
    }
}

/* A sequence that comes to a situation later than its level could be made
 * shorter, so only ways into the next level count. */
static const struct sequence *find(struct search *s, struct arena *arena)
{
    struct making m = make(s, arena);
    uint64_t n = s->exploration->starts.at[s->length - 1];
    cost *costs = arena_array(s->scratch, n, sizeof *costs);

    go_back(s, costs);
    for (uint32_t row = 1; row <= s->length; row++) {
        struct ahead ahead = {0};
        bool last = row == s->length;

        if (!last)
            ahead = level_ahead(s, costs, row);
        /* the goal was seen at this very length */
        ENSURE(add_row(s, &m, row, last ? NULL : &ahead));
    }
    return finish(&m);
}

static uint32_t goal_length(const struct exploration *x,
                            enum sequence_goal goal, uint32_t index)
{
    uint32_t dead_end = exploration_dead_end(x);

    if (goal == GOAL_WATCH)
        return exploration_watch_level(x, index);
    if (goal == GOAL_END)
        return exploration_end_level(x, index);
    return dead_end == FLAT_NONE ? 0 : dead_end + 1;
}

const struct sequence *sequence_find(struct arena *arena,
                                     struct exploration *x,
                                     enum sequence_goal goal,
                                     uint32_t index)
{
    uint32_t length = goal_length(x, goal, index);
    const struct sequence *found;
    struct search *s;

    if (length == 0)
        return NULL;
    s = search_new(x);
    s->goal = goal;
    s->index = index;
    s->length = length;
    found = find(s, arena);
    arena_free(s->scratch);
    return found;
}

/* ---- exactly so many scans: row r leads into layer r ---- */

struct layer {
    VEC(uint64_t) situations; /* after so many scans, each once */
    cost *costs;              /* the rest of the way from each */
};

struct layers {
    struct layer *at; /* 1 to length - 1 */
    cost *ahead;      /* of the layer at hand, per situation */
    uint64_t n;       /* situations */
};

static void spread(struct layers *l, uint32_t row)
{
    const struct layer *layer = &l->at[row];

    for (size_t i = 0; i < layer->situations.n; i++)
        l->ahead[layer->situations.at[i]] = layer->costs[i];
}

static void clear(struct layers *l, uint32_t row)
{
    const struct layer *layer = &l->at[row];

    for (size_t i = 0; i < layer->situations.n; i++)
        l->ahead[layer->situations.at[i]] = COST_NEVER;
}

/* ahead serves as the mark of what the layer has already. */
static void reach(struct search *s, struct layers *l, struct expander *w,
                  uint64_t from, struct layer *into)
{
    enum fork_event event;

    exploration_begin(s->exploration, w, from);
    while ((event = expander_next(w)) != FORK_DONE) {
        uint64_t to;

        if (event != FORK_LEAF || w->fork->ended != FLAT_NONE)
            continue;
        to = exploration_target(s->exploration, w);
        ENSURE(to != STORE_NONE);
        if (l->ahead[to] == 0)
            continue;
        l->ahead[to] = 0;
        vec_push(&into->situations, to);
    }
}

static void fill_layers(struct search *s, struct layers *l)
{
    for (uint32_t row = 1; row < s->length; row++) {
        struct expander *w = walker_for(s, row);
        struct layer *from = row == 1 ? NULL : &l->at[row - 1];
        struct layer *into = &l->at[row];

        if (!from)
            reach(s, l, w, UINT64_MAX, into);
        for (size_t i = 0; from && i < from->situations.n; i++)
            reach(s, l, w, from->situations.at[i], into);
        clear(l, row);
        into->costs = arena_array(s->scratch, into->situations.n,
                                  sizeof *into->costs);
    }
}

static void cost_layers(struct search *s, struct layers *l)
{
    struct ahead ahead = {l->ahead, 0, l->n};

    for (uint32_t row = s->length; row > 1; row--) {
        struct expander *w = walker_for(s, row);
        struct layer *from = &l->at[row - 1];
        bool last = row == s->length;

        if (!last)
            spread(l, row);
        for (size_t i = 0; i < from->situations.n; i++)
            from->costs[i] = least(s, w, from->situations.at[i],
                                   last ? NULL : &ahead);
        if (!last)
            clear(l, row);
    }
}

static const struct sequence *find_of_length(struct search *s,
                                             struct layers *l,
                                             struct arena *arena)
{
    struct making m = make(s, arena);
    struct ahead ahead = {l->ahead, 0, l->n};

    for (uint32_t row = 1; row <= s->length; row++) {
        bool last = row == s->length, found;

        if (!last)
            spread(l, row);
        found = add_row(s, &m, row, last ? NULL : &ahead);
        if (!last)
            clear(l, row);
        if (!found)
            return NULL;
    }
    return finish(&m);
}

static struct layers layers_new(struct search *s)
{
    struct layers l = {.n = exploration_situations(s->exploration)};

    l.at = arena_array(s->scratch, s->length, sizeof *l.at);
    l.ahead = arena_array(s->scratch, l.n, sizeof *l.ahead);
    for (uint64_t i = 0; i < l.n; i++)
        l.ahead[i] = COST_NEVER;
    return l;
}

const struct sequence *sequence_of_length(struct arena *arena,
                                          struct exploration *x,
                                          uint32_t length,
                                          const uint32_t *fixed)
{
    const struct sequence *found;
    struct layers layers;
    struct search *s;

    ENSURE(length > 0 && exploration_end(x) == EXPLORE_COMPLETE);
    s = search_new(x);
    s->any_goal = true;
    s->length = length;
    s->fixed = fixed;
    layers = layers_new(s);
    fill_layers(s, &layers);
    cost_layers(s, &layers);
    found = find_of_length(s, &layers, arena);
    for (uint32_t i = 1; i < length; i++)
        vec_release(&layers.at[i].situations);
    arena_free(s->scratch);
    return found;
}
