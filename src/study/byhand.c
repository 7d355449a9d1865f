#include "study/byhand.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/type.h"
#include "study/handhint.h"
#include "study/handsearch.h"

enum {
    MOST_POSITIONS = 8, /* of a control that is tried */
    MOST_PLACES = 16    /* where the machine can be put for the first round */
};

struct finder {
    struct study *study;
    const struct handlogic *logic;
    const struct obligations *obligations;
    struct handsearch search;
    bool *reached;  /* per obligation, by a sequence */
    VEC(struct hand_sequence) sequences;
};

/* ---- controls ---- */

static bool *find_left_out(struct arena *arena, const struct model *model)
{
    bool *left_out = arena_array(arena, model->n_controls + 1,
                                 sizeof *left_out);

    for (uint32_t i = 0; i < model->n_controls; i++)
        left_out[i] = model->choices[model->controls[i].choice].count >
                      MOST_POSITIONS;
    return left_out;
}

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

struct writing {
    VEC(struct hand_step) steps;
    VEC(bool) happened; /* n_obligations of each step */
    struct hand_stand stand;
    const struct hand_expected *expected; /* there */
    struct hand_stand begin;
};

static void add_step(struct finder *f, struct writing *w,
                     const struct hand_act *act, bool back)
{
    uint32_t n = f->obligations->n;
    bool *happened = arena_array(f->study->arena, n + 1, sizeof *happened);
    struct hand_step step = {.n_changes = act->n_changes,
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
    vec_push(&w->steps, step);
}

/* One control to a position, if that is allowed. */
static bool try_change(struct finder *f, struct writing *w,
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
static bool put_one_back(struct finder *f, struct writing *w, bool *all)
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
static bool put_back(struct finder *f, struct writing *w)
{
    bool all;

    while (put_one_back(f, w, &all))
        ;
    return all;
}

/* Does pressing a stop and letting go of it end what still runs?  Then it is
 * done. */
static bool press_a_stop(struct finder *f, struct writing *w)
{
    const struct model *model = f->logic->model;

    for (uint32_t i = 0; i < model->n_controls; i++) {
        uint32_t rest = choice_of(model, i)->rest, steps = (uint32_t)w->steps.n;
        struct hand_stand before = w->stand;
        const struct hand_expected *expected = w->expected;

        if (model->controls[i].kind != SIGNAL_STOP)
            continue;
        if (try_change(f, w, (struct hand_change){i, rest, 1 - rest}, true) &&
            try_change(f, w, (struct hand_change){i, 1 - rest, rest}, true) &&
            is_quiet(model, w->expected))
            return true;
        w->steps.n = steps;
        w->happened.n = (size_t)steps * f->obligations->n;
        w->stand = before;
        w->expected = expected;
    }
    return false;
}

/* What each step is the first to reach. */
static void mark_reached(struct finder *f, struct writing *w)
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

static void keep_sequence(struct finder *f, const struct writing *w)
{
    const struct hand_stand *begin = &w->begin;
    struct hand_sequence made = {
        .round = f->search.moving ? ROUND_MOVING : ROUND_STANDING,
        .n_steps = (uint32_t)w->steps.n};
    struct hand_step *steps = arena_array(f->study->arena, w->steps.n + 1,
                                          sizeof *steps);

    made.places = places_of(f, begin->where, &made.n_places);
    made.quiet = is_quiet(f->logic->model, w->expected);
    memcpy(steps, w->steps.at, w->steps.n * sizeof *steps);
    made.steps = steps;
    vec_push(&f->sequences, made);
}

/* The way to a node. */
static void write_way(struct finder *f, struct writing *w, uint32_t node)
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

/* Puts everything back; the sequence counts if that is possible. */
static void finish(struct finder *f, struct writing *w)
{
    if (put_back(f, w)) {
        if (!is_quiet(f->logic->model, w->expected))
            press_a_stop(f, w);
        if (steer_end(f->search.steer) == EXPLORE_COMPLETE) {
            mark_reached(f, w);
            keep_sequence(f, w);
        }
    }
    vec_release(&w->steps);
    vec_release(&w->happened);
}

/* ---- more from where a sequence is ---- */

struct mark { /* of what is written */
    size_t steps, happened;
    struct hand_stand stand;
    const struct hand_expected *expected;
};

static struct mark mark_of(const struct writing *w)
{
    return (struct mark){w->steps.n, w->happened.n, w->stand, w->expected};
}

static void take_back(struct writing *w, const struct mark *mark)
{
    w->steps.n = mark->steps;
    w->happened.n = mark->happened;
    w->stand = mark->stand;
    w->expected = mark->expected;
}

static bool try_act(struct finder *f, struct writing *w,
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

static struct hand_act reverse(const struct hand_act *act)
{
    struct hand_act back = *act;

    for (uint32_t i = 0; i < act->n_changes; i++) {
        back.changes[i].from = act->changes[i].to;
        back.changes[i].to = act->changes[i].from;
    }
    back.seconds = HAND_USUAL_S;
    back.machine = MODEL_NONE;
    return back;
}

/* Do the actuators stand as they did at a node, and the hands too? */
static bool is_as(const struct finder *f, const struct writing *w,
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

/* Back from a step to where it began: it is undone and, where that is not
 * enough, what led there is undone too and done again. */
static bool go_back(struct finder *f, struct writing *w,
                    const struct hand_act *last, uint32_t node)
{
    const struct hand_act *led = &f->search.nodes.at[node].act;
    struct hand_act back = reverse(last);

    if (!try_act(f, w, &back))
        return false;
    if (is_as(f, w, node))
        return true;
    if (f->search.nodes.at[node].parent == MODEL_NONE ||
        led->n_changes == 0 || led->seconds == 0)
        return false;
    back = reverse(led);
    return try_act(f, w, &back) && try_act(f, w, led) && is_as(f, w, node);
}

/* Did the last step that is written bring it about? */
static bool just_happened(const struct finder *f, const struct writing *w,
                          uint32_t obligation)
{
    return w->happened.at[w->happened.n - f->obligations->n + obligation];
}

/* Effects that begin at the same node are looked at one after the other. */
static void add_effects(struct finder *f, struct writing *w, uint32_t node,
                        bool *asked)
{
    enum { MOST_STEPS = 40 };
    uint32_t from = f->search.nodes.at[node].parent;
    struct hand_act last = f->search.nodes.at[node].act;

    for (uint32_t i = f->obligations->n_watched;
         i < f->obligations->n && w->steps.n < MOST_STEPS; i++) {
        uint32_t next = f->search.first[i];
        struct mark mark = mark_of(w);
        struct hand_act act;

        if (f->reached[i] || asked[i] || next == MODEL_NONE ||
            next == node || f->search.nodes.at[next].parent != from)
            continue;
        act = f->search.nodes.at[next].act;
        if (go_back(f, w, &last, from) && try_act(f, w, &act) &&
            just_happened(f, w, i)) {
            asked[i] = true;
            last = act;
        } else {
            take_back(w, &mark);
        }
    }
}

/* What two hands together do must not be done by one after the other: no
 * duty, but worth a look where it is so. */
static void write_one_by_one(struct finder *f, const struct obligation *effect,
                             uint32_t node, uint32_t first)
{
    const struct hand_node *nodes = f->search.nodes.at;
    const struct hand_act *both = &nodes[node].act;
    struct writing w = {0};
    bool off = true;

    write_way(f, &w, nodes[node].parent);
    for (uint32_t i = 0; i < 2 && off; i++)
        off = try_change(f, &w, both->changes[i == 0 ? first : 1 - first],
                         false) &&
              w.expected[effect->index].sure &&
              w.expected[effect->index].value == 0;
    if (off) {
        finish(f, &w);
        return;
    }
    vec_release(&w.steps);
    vec_release(&w.happened);
}

static void write_sequence(struct finder *f, uint32_t node, bool *asked)
{
    struct writing w = {0};

    write_way(f, &w, node);
    if (f->search.nodes.at[node].parent != MODEL_NONE)
        add_effects(f, &w, node, asked);
    finish(f, &w);
}

/* ---- which sequences ---- */

/* The longest ways first: they reach much on the way. */
static uint32_t farthest_open(const struct finder *f, const bool *asked)
{
    uint32_t best = MODEL_NONE, cost = 0;

    for (uint32_t i = 0; i < f->obligations->n; i++) {
        uint32_t node = f->search.first[i];

        if (f->reached[i] || asked[i] || node == MODEL_NONE ||
            (best != MODEL_NONE && f->search.nodes.at[node].cost <= cost))
            continue;
        best = i;
        cost = f->search.nodes.at[node].cost;
    }
    return best;
}

/* What no sequence reaches yet is looked for in its steps. */
static void expect_open(struct finder *f)
{
    for (uint32_t i = 0; i < f->obligations->n; i++)
        f->search.pending[i] =
            !f->reached[i] &&
            f->obligations->at[i].state == OBLIGATION_OPEN;
}

static void write_sequences(struct finder *f)
{
    bool *asked = arena_array(f->study->arena, f->obligations->n + 1,
                              sizeof *asked);
    uint32_t next;

    while ((next = farthest_open(f, asked)) != MODEL_NONE &&
           steer_end(f->search.steer) == EXPLORE_COMPLETE) {
        asked[next] = true;
        expect_open(f);
        write_sequence(f, f->search.first[next], asked);
    }
}

/* Was it told of the same two buttons already? */
static bool is_told(const struct finder *f, uint32_t number)
{
    const struct obligation *all = f->obligations->at;

    for (uint32_t i = f->obligations->n_watched; i < number; i++)
        if (f->reached[i] && f->search.first[i] != MODEL_NONE &&
            all[i].control == all[number].control &&
            all[i].other == all[number].other)
            return true;
    return false;
}

static void write_negatives(struct finder *f)
{
    for (uint32_t i = f->obligations->n_watched; i < f->obligations->n; i++) {
        const struct obligation *what = &f->obligations->at[i];
        uint32_t node = f->search.first[i];

        if (what->control == MODEL_NONE || what->other == MODEL_NONE ||
            !f->reached[i] ||
            node == MODEL_NONE || is_told(f, i) ||
            steer_end(f->search.steer) != EXPLORE_COMPLETE)
            continue;
        write_one_by_one(f, what, node, 0);
        write_one_by_one(f, what, node, 1);
    }
}

/* ---- rounds ---- */

static void begin_at(struct finder *f, uint32_t machine, int64_t value)
{
    struct handsearch *s = &f->search;
    uint32_t n = f->logic->n_machine;
    bool *given = arena_array(s->arena, n + 1, sizeof *given);
    int64_t *at = arena_array(s->arena, n + 1, sizeof *at);
    struct hand_where *where = ARENA_NEW(s->arena, struct hand_where);

    given[machine] = true;
    at[machine] = value;
    *where = (struct hand_where){1, given, at};
    if (handlogic_begins(f->logic, machine, value))
        handsearch_begin(s, handsearch_rest(s, where));
}

/* Wherever the machine stands, and with each variable at each place where it
 * can begin. */
static void begin(struct finder *f)
{
    struct handsearch *s = &f->search;
    uint32_t n = f->logic->n_machine;
    bool *none = arena_array(s->arena, n + 1, sizeof *none);
    struct hand_where *anywhere = ARENA_NEW(s->arena, struct hand_where);

    *anywhere = (struct hand_where){
        0, none, arena_array(s->arena, n + 1, sizeof(int64_t))};
    handsearch_begin(s, handsearch_rest(s, anywhere));
    for (uint32_t i = 0; i < n; i++) {
        const struct hand_value *value = &f->logic->machine[i];

        if (value->cell == FLAT_NONE ||
            value->high - value->low >= MOST_PLACES)
            continue;
        for (int64_t at = value->low; at <= value->high; at++)
            begin_at(f, i, at);
    }
}

static void run_round(struct finder *f, enum hand_round round)
{
    struct handsearch *s = &f->search;

    vec_clear(&s->nodes);
    s->moving = round == ROUND_MOVING;
    s->tried = 0;
    for (uint32_t i = 0; i < f->obligations->n; i++)
        s->first[i] = MODEL_NONE;
    begin(f);
    expect_open(f);
    handhint_try(s);
    handsearch_go(s);
    write_sequences(f);
    write_negatives(f);
}

/* False: it cannot be said where sequences begin. */
static bool start_search(struct finder *f,
                         const struct byhand_setting *setting)
{
    struct handsearch *s = &f->search;
    uint32_t n = f->obligations->n;

    s->arena = f->study->arena;
    s->logic = f->logic;
    s->left_out = find_left_out(s->arena, f->logic->model);
    s->obligations = f->obligations;
    s->first = arena_array(s->arena, n + 1, sizeof *s->first);
    s->pending = arena_array(s->arena, n + 1, sizeof *s->pending);
    s->happened = arena_array(s->arena, n + 1, sizeof *s->happened);
    s->inert = arena_array(s->arena, f->logic->model->n_controls + 1,
                           sizeof *s->inert);
    s->most_tried = setting->most_tried;
    s->for_effects = setting->for_effects;
    f->reached = arena_array(s->arena, n + 1, sizeof *f->reached);
    return handsearch_open(s, &setting->explore);
}

const struct byhand *byhand_find(struct study *study,
                                 const struct handlogic *logic,
                                 const struct obligations *obligations,
                                 const struct byhand_setting *setting)
{
    struct byhand *found = ARENA_NEW(study->arena, struct byhand);
    struct finder f = {.study = study, .logic = logic,
                       .obligations = obligations};
    struct hand_sequence *sequences;
    bool begins;

    begins = start_search(&f, setting);
    for (int round = ROUND_STANDING; round <= ROUND_MOVING; round++)
        if (begins && steer_end(f.search.steer) == EXPLORE_COMPLETE &&
            (round == ROUND_MOVING || logic->can_stand)) {
            run_round(&f, (enum hand_round)round);
            found->tried += f.search.tried;
        }
    found->end = steer_end(f.search.steer);
    if (!begins && found->end == EXPLORE_COMPLETE)
        found->end = EXPLORE_SITUATIONS;
    found->from_power_up = f.search.from_power_up;
    found->gave_up = f.search.gave_up;
    found->can_stand = logic->can_stand;
    found->left_out = f.search.left_out;
    found->n_sequences = (uint32_t)f.sequences.n;
    sequences = arena_array(study->arena, f.sequences.n + 1,
                            sizeof *sequences);
    if (f.sequences.n > 0)
        memcpy(sequences, f.sequences.at, f.sequences.n * sizeof *sequences);
    found->sequences = sequences;
    steer_close(f.search.steer);
    vec_release(&f.search.nodes);
    vec_release(&f.sequences);
    return found;
}
