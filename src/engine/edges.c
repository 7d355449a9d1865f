#include "engine/edges.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/store.h"
#include "logic/slice.h"

typedef bool visitor(void *context, const struct edge *edge);

/* Room for what an edge shows. */
struct view {
    struct exploration *exploration;
    int64_t *value;
    bool *watch;
    visitor *visit;
    void *context;
};

/* Made once and kept, since a view asks situation by situation. */
static struct expander *walker(struct exploration *x, bool first)
{
    struct expander **kept = first ? &x->view_first : &x->view_next;

    if (!*kept)
        *kept = exploration_walker(x, x->arena, first, PLAN_VALUES);
    return *kept;
}

/* With what the exploration itself has fixed. */
static uint32_t *join(const struct exploration *x, const uint32_t *given)
{
    uint32_t n = x->slice->n_choices;
    uint32_t *all = arena_array(x->arena, n + 1, sizeof *all);

    for (uint32_t i = 0; i < n; i++)
        all[i] = given[i] == FLAT_NONE && x->fixed_next ? x->fixed_next[i]
                                                        : given[i];
    return all;
}

static struct expander *given_walker(struct exploration *x,
                                     const uint32_t *given)
{
    size_t bytes = x->slice->n_choices * sizeof *given;

    if (x->given && memcmp(x->given, given, bytes) == 0)
        return x->view_given;
    x->given = arena_array(x->arena, x->slice->n_choices + 1,
                           sizeof *x->given);
    memcpy(x->given, given, bytes);
    x->view_given = exploration_walker(x, x->arena, false, PLAN_VALUES);
    expander_fix(x->view_given, join(x, given));
    return x->view_given;
}

static uint64_t target(const struct exploration *x, struct expander *w)
{
    uint64_t to;

    if (w->fork->ended != FLAT_NONE)
        return UINT64_MAX;
    to = exploration_target(x, w);
    return to == STORE_NONE ? UINT64_MAX - 1 : to;
}

static bool show(const struct view *v, struct expander *w, uint64_t from)
{
    const struct plan *p = w->plan;
    bool ended = w->fork->ended != FLAT_NONE;
    struct edge edge = {from, target(v->exploration, w), w->fork->choice,
                        v->value, v->watch};

    for (uint32_t i = 0; i < p->values.n; i++)
        v->value[i] = expander_value(w, p->values.at[i]);
    for (uint32_t i = 0; i < p->watches.n; i++)
        v->watch[i] = !ended && w->eval->value[p->watches.at[i]];
    return v->visit(v->context, &edge);
}

static bool walk_with(const struct view *v, struct expander *w,
                      uint64_t from)
{
    struct exploration *x = v->exploration;
    enum fork_event event;
    bool go_on = true;

    ENSURE(!x->walking);
    x->walking = true;
    exploration_begin(x, w, from);
    while (go_on && (event = expander_next(w)) != FORK_DONE)
        if (event == FORK_LEAF)
            go_on = show(v, w, from);
    x->walking = false;
    return go_on;
}

static bool walk(const struct view *v, uint64_t from)
{
    return walk_with(v, walker(v->exploration, from == UINT64_MAX), from);
}

static struct view view_of(struct arena *arena, struct exploration *x,
                           visitor *visit, void *context)
{
    const struct slice *s = x->slice;

    return (struct view){
        x, arena_array(arena, s->n_values, sizeof(int64_t)),
        arena_array(arena, s->n_watches, sizeof(bool)), visit, context};
}

bool edges_from(struct exploration *x, uint64_t from, visitor *visit,
                void *context)
{
    struct arena *arena = arena_new();
    struct view v = view_of(arena, x, visit, context);
    bool whole = walk(&v, from);

    arena_free(arena);
    return whole;
}

bool edges_given(struct exploration *x, uint64_t from,
                 const uint32_t *given, visitor *visit, void *context)
{
    struct arena *arena = arena_new();
    struct view v = view_of(arena, x, visit, context);
    bool whole;

    ENSURE(from < store_count(x->store));
    whole = walk_with(&v, given_walker(x, given), from);
    arena_free(arena);
    return whole;
}

bool edges_all(struct exploration *x, visitor *visit, void *context)
{
    struct arena *arena = arena_new();
    struct view v = view_of(arena, x, visit, context);
    bool whole = walk(&v, UINT64_MAX);

    for (uint64_t s = 0; whole && s < store_count(x->store); s++)
        whole = walk(&v, s);
    arena_free(arena);
    return whole;
}
