#include "engine/sequence.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/exploration.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/search.h"
#include "engine/concrete/store.h"
#include "engine/explore.h"

static bool lives_on(const struct expander *w, enum fork_event event)
{
    return event == FORK_LEAF && w->fork->ended == FLAT_NONE;
}

static bool goes_on(const struct search *s, struct expander *w,
                    enum fork_event event)
{
    (void)s;
    return lives_on(w, event);
}

static bool sees_watch(const struct search *s, struct expander *w,
                       enum fork_event event)
{
    return lives_on(w, event) &&
           w->eval->value[w->plan->watches.at[s->index]] != 0;
}

static bool leads_into(const struct search *s, struct expander *w,
                       enum fork_event event)
{
    uint64_t to;

    if (!sees_watch(s, w, event))
        return false;
    to = exploration_target(s->exploration, w);
    return to != STORE_NONE && s->into[to];
}

static bool sees_end(const struct search *s, struct expander *w,
                     enum fork_event event)
{
    return event == FORK_LEAF && w->fork->ended == s->index;
}

static bool is_dead_end(const struct search *s, struct expander *w,
                        enum fork_event event)
{
    (void)s, (void)w;
    return event == FORK_DEAD_END;
}

static const struct sequence *finish(const struct search *s,
                                     const struct making *m,
                                     struct arena *arena)
{
    struct sequence *made = ARENA_NEW(arena, struct sequence);

    made->length = s->length;
    made->n_choices = m->n_choices;
    made->choices = m->choices;
    made->decided = m->decided;
    made->operator_cost = cost_operator(m->sum);
    made->fault_cost = cost_fault(m->sum);
    made->movement_cost = cost_movement(m->sum);
    return made;
}

/* costs: of all situations. */
static struct ahead ahead_of(const cost *costs, uint64_t base, uint64_t end)
{
    struct ahead ahead = {costs + base, base, end, COST_NEVER};

    for (uint64_t i = base; i < end; i++)
        if (costs[i] < ahead.least)
            ahead.least = costs[i];
    return ahead;
}

/* ---- the shortest to a goal: row r leads into level r ---- */

static struct ahead level_ahead(const struct search *s, const cost *costs,
                                uint32_t level)
{
    const uint64_t *starts = s->exploration->starts.at;

    return ahead_of(costs, starts[level - 1], starts[level]);
}

static void go_back(struct search *s, cost *costs)
{
    const uint64_t *starts = s->exploration->starts.at;

    for (uint32_t row = s->length; row > 1 && !s->interrupted; row--) {
        struct expander *w = search_walker(s, row);
        struct ahead ahead = {0};
        bool last = row == s->length;

        if (!last)
            ahead = level_ahead(s, costs, row);
        for (uint64_t i = starts[row - 2];
             i < starts[row - 1] && !s->interrupted; i++)
            costs[i] = search_least(s, w, i, last ? NULL : &ahead);
    }
}

/* A sequence that comes to a situation later than its level could be made
 * shorter, so only ways into the next level count. */
static const struct sequence *find(struct search *s, struct arena *arena)
{
    struct making m = search_make(s, arena);
    uint64_t n = s->exploration->starts.at[s->length - 1];
    cost *costs = arena_array(s->scratch, n, sizeof *costs);

    go_back(s, costs);
    for (uint32_t row = 1; row <= s->length; row++) {
        struct ahead ahead = {0};
        bool last = row == s->length;

        if (!last)
            ahead = level_ahead(s, costs, row);
        if (s->interrupted ||
            !search_add_row(s, &m, row, last ? NULL : &ahead)) {
            /* the goal was seen at this very length */
            ENSURE(s->interrupted);
            return NULL;
        }
    }
    return finish(s, &m, arena);
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

    return length == 0 ? NULL
                       : sequence_along(arena, x, goal, index, length);
}

const struct sequence *sequence_along(struct arena *arena,
                                      struct exploration *x,
                                      enum sequence_goal goal,
                                      uint32_t index, uint32_t length)
{
    const struct sequence *found;
    struct search *s;

    s = search_new(x);
    s->needs_watch = goal == GOAL_WATCH;
    s->unlimited = goal == GOAL_DEAD_END;
    s->goal = goal == GOAL_WATCH ? sees_watch
              : goal == GOAL_END ? sees_end
                                 : is_dead_end;
    s->index = index;
    s->length = length;
    found = find(s, arena);
    search_free(s);
    return found;
}

const struct sequence *sequence_into(struct arena *arena,
                                     struct exploration *x, uint32_t watch,
                                     const bool *into, uint32_t length)
{
    const struct sequence *found;
    struct search *s;

    ENSURE(length > 0 && exploration_end(x) == EXPLORE_COMPLETE);
    s = search_new(x);
    s->goal = leads_into;
    s->needs_watch = true;
    s->index = watch;
    s->into = into;
    s->length = length;
    found = find(s, arena);
    search_free(s);
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
    uint64_t bytes;   /* of all layers */
};

/* Layers may together be far larger than what is explored. */
static void add_to_layer(struct search *s, struct layers *l,
                         struct layer *into, uint64_t to)
{
    uint64_t most = s->exploration->most_bytes;

    vec_push(&into->situations, to);
    l->bytes += sizeof to + sizeof(cost);
    s->interrupted = s->interrupted || (most && l->bytes > most);
}

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
    while ((event = expander_next(w)) != FORK_DONE && !search_is_left(s)) {
        uint64_t to;

        if (event != FORK_LEAF || w->fork->ended != FLAT_NONE)
            continue;
        to = exploration_target(s->exploration, w);
        ENSURE(to != STORE_NONE);
        if (l->ahead[to] == 0)
            continue;
        l->ahead[to] = 0;
        add_to_layer(s, l, into, to);
    }
}

static void fill_layers(struct search *s, struct layers *l)
{
    for (uint32_t row = 1; row < s->length && !s->interrupted; row++) {
        struct expander *w = search_walker(s, row);
        struct layer *from = row == 1 ? NULL : &l->at[row - 1];
        struct layer *into = &l->at[row];

        if (!from)
            reach(s, l, w, UINT64_MAX, into);
        for (size_t i = 0;
             from && i < from->situations.n && !s->interrupted; i++)
            reach(s, l, w, from->situations.at[i], into);
        clear(l, row);
        into->costs = arena_array(s->scratch, into->situations.n,
                                  sizeof *into->costs);
    }
}

static void cost_layers(struct search *s, struct layers *l)
{
    struct ahead ahead = {l->ahead, 0, l->n, 0};

    for (uint32_t row = s->length; row > 1 && !s->interrupted; row--) {
        struct expander *w = search_walker(s, row);
        struct layer *from = &l->at[row - 1];
        bool last = row == s->length;

        if (!last)
            spread(l, row);
        for (size_t i = 0; i < from->situations.n && !s->interrupted; i++)
            from->costs[i] = search_least(s, w, from->situations.at[i],
                                          last ? NULL : &ahead);
        if (!last)
            clear(l, row);
    }
}

static const struct sequence *find_of_length(struct search *s,
                                             struct layers *l,
                                             struct arena *arena)
{
    struct making m = search_make(s, arena);
    struct ahead ahead = {l->ahead, 0, l->n, 0};

    for (uint32_t row = 1; row <= s->length && !s->interrupted; row++) {
        bool last = row == s->length, found;

        if (!last)
            spread(l, row);
        found = search_add_row(s, &m, row, last ? NULL : &ahead);
        if (!last)
            clear(l, row);
        if (!found)
            return NULL;
    }
    return s->interrupted ? NULL : finish(s, &m, arena);
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
    s->goal = goes_on;
    s->length = length;
    s->fixed = fixed;
    layers = layers_new(s);
    fill_layers(s, &layers);
    cost_layers(s, &layers);
    found = find_of_length(s, &layers, arena);
    for (uint32_t i = 1; i < length; i++)
        vec_release(&layers.at[i].situations);
    search_free(s);
    return found;
}

bool sequence_same(const struct sequence *a, const struct sequence *b)
{
    size_t n = (size_t)a->length * a->n_choices;

    return b != NULL && a->length == b->length &&
           a->n_choices == b->n_choices &&
           memcmp(a->choices, b->choices, n * sizeof *a->choices) == 0 &&
           memcmp(a->decided, b->decided, n * sizeof *a->decided) == 0;
}
