#include "study/handwrite.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"

/* ---- what a step shows ---- */

/* Is every actuator off for sure? */
static bool is_quiet(const struct model *model,
                     const struct hand_expected *expected)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (!expected[i].sure || expected[i].value != 0)
            return false;
    return true;
}

/* ---- a sequence ---- */

static void add_step(struct finder *f, struct handwrite *w,
                     const struct hand_act *act, bool back)
{
    uint32_t n = f->obligations->n;
    bool *happened = arena_array(f->study->arena, n + 1, sizeof *happened);
    struct hand_step step = {.n_changes = act->n_changes,
                             .power = act->power,
                             .seconds = act->seconds,
                             .movement = MODEL_NONE,
                             .seen = act->seen, .back = back};
    struct hand_shown shown;
    struct hand_stand to;

    memcpy(step.changes, act->changes, sizeof step.changes);
    if (act->machine != MODEL_NONE)
        step.movement = f->logic->movement[act->machine];
    to = handsearch_step(&f->search, &w->stand, act, happened);
    step.expected = handsearch_expect(&f->search, to.place);
    shown = (struct hand_shown){&w->stand, act, w->expected, step.expected};
    handsearch_effects(&f->search, &shown, happened);
    w->stand = to;
    w->expected = step.expected;
    for (uint32_t i = 0; i < n; i++)
        vec_push(&w->happened, happened[i]);
    vec_push(&w->places, to.place);
    vec_push(&w->steps, step);
}

/* One control to a position, if that is allowed. */
static bool try_change(struct finder *f, struct handwrite *w,
                       struct hand_change change, bool back)
{
    const struct hand_act act = {.changes = {change}, .n_changes = 1,
                                 .seconds = HAND_USUAL_S,
                                 .machine = MODEL_NONE};
    struct hand_stand to = handsearch_step(&f->search, &w->stand, &act, NULL);

    if (steer_is_empty(f->search.steer, to.place))
        return false;
    add_step(f, w, &act, back);
    return true;
}

static const struct choice *choice_of(const struct model *model,
                                      uint32_t control)
{
    return &model->choices[model->controls[control].choice];
}

/* Lets go of one control that is away from rest; false: of none. */
static bool put_one_back(struct finder *f, struct handwrite *w, bool *all)
{
    const struct model *model = f->logic->model;

    *all = true;
    for (uint32_t i = 0; i < model->n_controls; i++) {
        struct hand_change change = {i, w->stand.position[i],
                                     choice_of(model, i)->rest};

        if (change.from == change.to)
            continue;
        *all = false;
        if (try_change(f, w, change, true))
            return true;
    }
    return false;
}

/* Everything to rest; false: the assumptions leave no way. */
static bool put_back(struct finder *f, struct handwrite *w)
{
    bool all;

    while (put_one_back(f, w, &all))
        ;
    return all;
}

/* Does pressing a stop and letting go of it end what still runs?  Then it is
 * done. */
static bool press_a_stop(struct finder *f, struct handwrite *w)
{
    const struct model *model = f->logic->model;

    for (uint32_t i = 0; i < model->n_controls; i++) {
        uint32_t rest = choice_of(model, i)->rest;
        struct handwrite_mark mark = handwrite_mark(w);

        if (model->controls[i].kind != SIGNAL_STOP)
            continue;
        if (try_change(f, w, (struct hand_change){i, rest, 1 - rest}, true) &&
            try_change(f, w, (struct hand_change){i, 1 - rest, rest}, true) &&
            is_quiet(model, w->expected))
            return true;
        handwrite_take_back(f, w, &mark);
    }
    return false;
}

/* What each step is the first to reach. */
static void mark_reached(struct finder *f, struct handwrite *w)
{
    uint32_t n = f->obligations->n;

    for (size_t k = 0; k < w->steps.n; k++) {
        struct hand_step *step = &w->steps.at[k];
        uint32_t *list = arena_array(f->study->arena, n + 1, sizeof *list);

        step->reached = list;
        for (uint32_t i = 0; i < n; i++) {
            if (!w->happened.at[k * n + i] || f->reached[i])
                continue;
            f->reached[i] = true;
            f->search.pending[i] = false;
            f->obligations->at[i].state = OBLIGATION_BY_HAND;
            list[step->n_reached++] = i;
        }
    }
}

static const struct hand_place *places_of(struct finder *f,
                                          const struct hand_where *where,
                                          uint32_t *n)
{
    struct hand_place *places = arena_array(f->study->arena,
                                            (size_t)where->n_given + 1,
                                            sizeof *places);

    *n = 0;
    for (uint32_t i = 0; i < f->logic->n_machine; i++)
        if (where->given[i])
            places[(*n)++] = (struct hand_place){f->logic->movement[i],
                                                 where->at[i]};
    return places;
}

static void keep_sequence(struct finder *f, const struct handwrite *w)
{
    size_t n = w->steps.n * f->obligations->n;
    uint32_t *places = arena_array(f->study->arena, w->places.n + 1,
                                   sizeof *places);
    bool *happened = arena_array(f->study->arena, n + 1, sizeof *happened);
    const struct hand_stand *begin = &w->begin;
    struct hand_sequence made = {
        .round = f->search.moving ? ROUND_MOVING : ROUND_STANDING,
        .n_steps = (uint32_t)w->steps.n};
    struct hand_step *steps = arena_array(f->study->arena, w->steps.n + 1,
                                          sizeof *steps);

    made.places = places_of(f, begin->where, &made.n_places);
    made.quiet = is_quiet(f->logic->model, w->expected);
    memcpy(steps, w->steps.at, w->steps.n * sizeof *steps);
    memcpy(happened, w->happened.at, n * sizeof *happened);
    memcpy(places, w->places.at, w->places.n * sizeof *places);
    made.steps = steps;
    vec_push(&f->sequences, made);
    vec_push(&f->written, ((struct hand_written){*begin, happened, places}));
}

void handwrite_begin(struct finder *f, struct handwrite *w,
                     struct hand_stand begin)
{
    w->begin = w->stand = begin;
    w->expected = handsearch_expect(&f->search, begin.place);
}

void handwrite_way(struct finder *f, struct handwrite *w, uint32_t node)
{
    const struct hand_node *nodes = f->search.nodes.at;
    uint32_t *way = arena_array(f->study->arena, f->search.nodes.n + 1,
                                sizeof *way);
    uint32_t n = 0, begin = node;

    for (; nodes[begin].parent != MODEL_NONE; begin = nodes[begin].parent)
        way[n++] = begin;
    w->begin = nodes[begin].stand;
    w->stand = nodes[begin].stand;
    w->expected = nodes[begin].expected;
    while (n-- > 0)
        add_step(f, w, &nodes[way[n]].act, false);
}

bool handwrite_put_back(struct finder *f, struct handwrite *w)
{
    if (!put_back(f, w))
        return false;
    if (!is_quiet(f->logic->model, w->expected))
        press_a_stop(f, w);
    return true;
}

void handwrite_finish(struct finder *f, struct handwrite *w)
{
    if (handwrite_put_back(f, w) && w->steps.n > 0 &&
        steer_end(f->search.steer) == EXPLORE_COMPLETE) {
        mark_reached(f, w);
        keep_sequence(f, w);
    }
    handwrite_drop(w);
}

/* ---- more from where a sequence is ---- */

struct handwrite_mark handwrite_mark(const struct handwrite *w)
{
    return (struct handwrite_mark){w->steps.n, w->stand, w->expected};
}

void handwrite_take_back(const struct finder *f, struct handwrite *w,
                         const struct handwrite_mark *mark)
{
    w->steps.n = w->places.n = mark->steps;
    w->happened.n = mark->steps * f->obligations->n;
    w->stand = mark->stand;
    w->expected = mark->expected;
}

bool handwrite_try(struct finder *f, struct handwrite *w,
                    const struct hand_act *act)
{
    struct hand_stand to;

    for (uint32_t i = 0; i < act->n_changes; i++)
        if (w->stand.position[act->changes[i].control] !=
            act->changes[i].from)
            return false;
    to = handsearch_step(&f->search, &w->stand, act, NULL);
    if (steer_is_empty(f->search.steer, to.place))
        return false;
    add_step(f, w, act, false);
    return true;
}

bool handwrite_same(const struct hand_change *a, uint32_t n_a,
                    const struct hand_change *b, uint32_t n_b)
{
    if (n_a != n_b)
        return false;
    for (uint32_t i = 0; i < n_a; i++)
        if (a[i].control != b[i].control || a[i].to != b[i].to)
            return false;
    return true;
}

struct hand_act handwrite_reverse(const struct hand_act *act)
{
    struct hand_act back = *act;

    for (uint32_t i = 0; i < act->n_changes; i++) {
        back.changes[i].from = act->changes[i].to;
        back.changes[i].to = act->changes[i].from;
    }
    back.power = false;
    back.seconds = HAND_USUAL_S;
    back.machine = MODEL_NONE;
    return back;
}

bool handwrite_is_as(const struct finder *f, const struct handwrite *w,
                  uint32_t node)
{
    const struct model *model = f->logic->model;
    const struct hand_node *at = &f->search.nodes.at[node];

    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (at->expected[i].sure &&
            (!w->expected[i].sure ||
             w->expected[i].value != at->expected[i].value))
            return false;
    return memcmp(w->stand.position, at->stand.position,
                  model->n_controls * sizeof(uint32_t)) == 0;
}

bool handwrite_happened(const struct finder *f, const struct handwrite *w,
                          uint32_t obligation)
{
    return w->happened.at[w->happened.n - f->obligations->n + obligation];
}

bool handwrite_ever(const struct finder *f, const struct handwrite *w,
                    uint32_t obligation)
{
    for (size_t k = 0; k < w->steps.n; k++)
        if (w->happened.at[k * f->obligations->n + obligation])
            return true;
    return false;
}

void handwrite_drop(struct handwrite *w)
{
    vec_release(&w->steps);
    vec_release(&w->happened);
    vec_release(&w->places);
}
