#include "study/handsearch.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/pace.h"
#include "check/type.h"

enum {
    MOST_AWAY = 3, /* controls away from rest at once */
    /* What a step costs: */
    COST_MOVE = 2, COST_TOGETHER = 3, COST_BACK = 1, COST_WAIT = 4,
    COST_SEEN = 3,
    COST_HELD = 2, /* for each control that is held meanwhile */
    MOST_VALUES = 64 /* of an actuator, each asked for */
};

/* Waits that are tried, besides the usual one, s. */
static const uint32_t longer[] = {5, 15, 60};

/* ---- what is seen ---- */

static const struct choice *choice_of(const struct model *model,
                                      uint32_t control)
{
    return &model->choices[model->controls[control].choice];
}

static int64_t position_value(const struct model *model, uint32_t control,
                              uint32_t index)
{
    return choice_of(model, control)->values[index];
}

/* Hands as they are, power on, and the machine where it is kept. */
static void see(struct handsearch *s, const struct hand_stand *stand)
{
    const struct model *model = s->logic->model;
    uint32_t dark = model->n_controls;

    memset(s->given, 0, s->seen.n * sizeof *s->given);
    for (uint32_t i = 0; i < model->n_controls; i++) {
        s->given[i] = true;
        s->value[i] = position_value(model, i, stand->position[i]);
    }
    s->given[dark] = true;
    s->value[dark] = 0;
    if (!stand->kept)
        return;
    s->given[dark + 1 + stand->machine] = true;
    s->value[dark + 1 + stand->machine] = stand->at;
}

/* ---- time ---- */

/* Scans that surely lie within so many milliseconds. */
static uint64_t scans_at_least(const struct model *model, int64_t ms)
{
    return ms <= 0 ? 0 : (uint64_t)(ms / model->scan);
}

/* Scans that can begin within them. */
static uint64_t scans_at_most(const struct model *model, int64_t ms)
{
    int64_t shortest = pace_shortest(model);

    return (uint64_t)((ms + shortest - 1) / shortest) + 1;
}

/* Nobody is hurried: who writes something down takes as long as it takes. */
static void by_the_watch(const struct model *model, uint32_t seconds,
                         struct steer_scans *scans)
{
    int64_t ms = (int64_t)seconds * 1000 - HAND_EARLY_MS;

    scans->least = scans_at_least(model, ms);
    scans->most = UINT64_MAX;
    if (scans->least == 0)
        scans->least = 1;
}

/* ---- one step ---- */

/* One hand is there already, the other one comes a little later. */
static uint32_t one_ahead(struct handsearch *s, const struct hand_stand *from,
                          const struct hand_change *ahead)
{
    struct steer_scans scans = {
        .most = scans_at_most(s->logic->model, HAND_APART_MS) - 1,
        .held = &s->seen};
    struct hand_stand between = *from;
    uint32_t *position = arena_array(s->arena, s->logic->model->n_controls,
                                     sizeof *position);

    memcpy(position, from->position,
           s->logic->model->n_controls * sizeof *position);
    position[ahead->control] = ahead->to;
    between.position = position;
    see(s, &between);
    return steer_scans(s->steer, from->place, &scans);
}

static const uint32_t *moved(struct handsearch *s,
                             const struct hand_stand *from,
                             const struct hand_act *act)
{
    uint32_t n = s->logic->model->n_controls;
    uint32_t *position = arena_array(s->arena, n + 1, sizeof *position);

    memcpy(position, from->position, n * sizeof *position);
    for (uint32_t i = 0; i < act->n_changes; i++)
        position[act->changes[i].control] = act->changes[i].to;
    return position;
}

/* Those of a place in which the machine is where it is to be seen. */
static uint32_t keep_seen(struct handsearch *s, uint32_t place,
                          const struct hand_act *act)
{
    uint32_t at = s->logic->model->n_controls + 1 + act->machine;

    s->given[at] = true;
    s->value[at] = act->seen;
    place = steer_keep(s->steer, place, &s->seen);
    s->given[at] = false;
    return place;
}

/* Is some actuator on for sure shortly after?  Else nobody need wait for the
 * machine. */
static bool drives(struct handsearch *s, uint32_t place)
{
    enum { SHORTLY = 2 };
    const struct steer_scans scans = {SHORTLY, SHORTLY, &s->seen, NULL};

    place = steer_scans(s->steer, place, &scans);
    for (uint32_t i = 0; i < s->logic->model->n_actuators; i++) {
        const struct hand_value *output = &s->logic->output[i];

        if (output->cell != FLAT_NONE &&
            !steer_can(s->steer, place, output->cell, 0))
            return true;
    }
    return false;
}

/* Can it be seen there without an obligation having been met on the way? */
static bool can_avoid(struct handsearch *s, uint32_t place,
                      const struct hand_act *act, uint32_t obligation)
{
    const struct steer_scans scans = {.most = UINT64_MAX, .held = &s->seen};
    uint32_t met = s->logic->model->n_controls + 1 + s->logic->n_machine +
                   obligation;

    s->given[met] = true;
    s->value[met] = 0;
    place = steer_scans(s->steer, place, &scans);
    s->given[met] = false;
    return !steer_is_empty(s->steer, keep_seen(s, place, act));
}

/* Until the machine is seen there, and a little longer. */
static uint32_t until_seen(struct handsearch *s, uint32_t from,
                           const struct hand_act *act, bool *happened)
{
    struct steer_scans scans = {.most = UINT64_MAX, .held = &s->seen};
    uint32_t place = keep_seen(s, steer_scans(s->steer, from, &scans), act);

    if (steer_is_empty(s->steer, place) || !drives(s, from))
        return steer_nowhere(s->steer);
    for (uint32_t i = 0; happened != NULL && i < s->obligations->n_watched;
         i++)
        if (s->pending[i] && s->logic->met[i] != FLAT_NONE)
            happened[i] = !can_avoid(s, from, act, i);
    scans.most = scans_at_most(s->logic->model, HAND_REACTION_MS);
    return steer_scans(s->steer, place, &scans);
}

struct hand_stand handsearch_step(struct handsearch *s,
                                  const struct hand_stand *from,
                                  const struct hand_act *act, bool *happened)
{
    struct steer_scans scans = {.held = &s->seen, .happened = happened};
    struct hand_stand to = *from;

    to.position = moved(s, from, act);
    if (act->n_changes == 2)
        to.place = steer_join(s->steer, one_ahead(s, from, &act->changes[0]),
                              one_ahead(s, from, &act->changes[1]));
    see(s, &to);
    if (act->seconds == 0) {
        to.place = until_seen(s, to.place, act, happened);
        return to;
    }
    by_the_watch(s->logic->model, act->seconds, &scans);
    to.place = steer_scans(s->steer, to.place, &scans);
    return to;
}

struct hand_stand handsearch_rest(struct handsearch *s, uint32_t machine,
                                  int64_t at)
{
    const struct model *model = s->logic->model;
    uint32_t *position = arena_array(s->arena, model->n_controls + 1,
                                     sizeof *position);
    const struct hand_act look = {.machine = machine, .seen = at};
    struct hand_stand rest = {.position = position, .machine = machine,
                              .at = at,
                              .kept = machine != MODEL_NONE && !s->moving};
    struct steer_scans scans = {
        .least = scans_at_least(model, HAND_REST_S * 1000),
        .most = UINT64_MAX, .held = &s->seen};

    for (uint32_t i = 0; i < model->n_controls; i++)
        position[i] = choice_of(model, i)->rest;
    see(s, &rest);
    rest.place = steer_scans(
        s->steer, steer_keep(s->steer, STEER_REACHED, &s->seen), &scans);
    if (machine != MODEL_NONE && !rest.kept)
        rest.place = keep_seen(s, rest.place, &look);
    return rest;
}

/* ---- what a step shows ---- */

static struct hand_expected expect(struct handsearch *s, uint32_t place,
                                   const struct hand_value *of)
{
    struct hand_expected found = {of->cell == FLAT_NONE, of->low};

    if (found.sure || (uint64_t)of->high - (uint64_t)of->low >= MOST_VALUES)
        return found;
    for (int64_t value = of->low; value <= of->high; value++) {
        if (!steer_can(s->steer, place, of->cell, value))
            continue;
        if (found.sure)
            return (struct hand_expected){false, 0};
        found = (struct hand_expected){true, value};
    }
    return found;
}

const struct hand_expected *handsearch_expect(struct handsearch *s,
                                              uint32_t place)
{
    uint32_t n = s->logic->model->n_actuators;
    struct hand_expected *all = arena_array(s->arena, n + 1, sizeof *all);

    for (uint32_t i = 0; i < n; i++)
        all[i] = expect(s, place, &s->logic->output[i]);
    return all;
}

/* Does an effect speak of just what the step moves? */
static bool is_of(const struct obligation *effect, const struct hand_act *act)
{
    const struct hand_change *c = act->changes;

    if (act->n_changes == 1)
        return effect->other == MODEL_NONE && effect->control == c[0].control;
    return act->n_changes == 2 && effect->control == c[0].control &&
           effect->other == c[1].control;
}

/* Does that turn the actuator of an effect as it says? */
static bool turns(const struct obligation *effect,
                  const struct hand_expected *before,
                  const struct hand_expected *after)
{
    uint32_t a = effect->index;
    bool on = effect->part != 0;

    return before[a].sure && after[a].sure && (before[a].value != 0) != on &&
           (after[a].value != 0) == on;
}

/* Would one of both hands have done it? */
static bool one_is_enough(struct handsearch *s,
                          const struct hand_shown *shown,
                          const struct obligation *effect)
{
    for (uint32_t i = 0; i < shown->act->n_changes; i++) {
        const struct hand_act one = {.changes = {shown->act->changes[i]},
                                     .n_changes = 1,
                                     .seconds = HAND_USUAL_S};
        struct hand_stand to = handsearch_step(s, shown->from, &one, NULL);

        if (!steer_is_empty(s->steer, to.place) &&
            turns(effect, shown->before, handsearch_expect(s, to.place)))
            return true;
    }
    return false;
}

void handsearch_effects(struct handsearch *s, const struct hand_shown *shown,
                        bool *happened)
{
    const struct obligations *all = s->obligations;

    for (uint32_t i = all->n_watched;
         shown->act->seconds > 0 && i < all->n; i++)
        if (is_of(&all->at[i], shown->act) &&
            turns(&all->at[i], shown->before, shown->after) &&
            (shown->act->n_changes == 1 ||
             !one_is_enough(s, shown, &all->at[i])))
            happened[i] = true;
}

/* ---- nodes ---- */

/* Was this place seen before, with the same part of the machine kept? */
static bool is_known(const struct handsearch *s,
                     const struct hand_stand *stand)
{
    for (size_t i = s->nodes.n; i-- > 0;) {
        const struct hand_stand *other = &s->nodes.at[i].stand;

        if (other->place == stand->place && other->kept == stand->kept &&
            (!stand->kept || (other->machine == stand->machine &&
                              other->at == stand->at)) &&
            memcmp(other->position, stand->position,
                   s->logic->model->n_controls * sizeof(uint32_t)) == 0)
            return true;
    }
    return false;
}

void handsearch_begin(struct handsearch *s, struct hand_stand stand)
{
    const struct hand_node node = {
        .stand = stand, .parent = MODEL_NONE,
        .expected = handsearch_expect(s, stand.place)};

    if (!steer_is_empty(s->steer, stand.place) && !is_known(s, &stand))
        vec_push(&s->nodes, node);
}

/* Notes what a step reaches at less cost than any before; false: nothing. */
static bool note_first(struct handsearch *s, uint32_t cost)
{
    bool any = false;

    for (uint32_t i = 0; i < s->obligations->n; i++) {
        if (!s->pending[i] || !(s->happened[i] || s->logic->always[i]) ||
            (s->first[i] != MODEL_NONE &&
             s->nodes.at[s->first[i]].cost <= cost))
            continue;
        s->first[i] = (uint32_t)s->nodes.n;
        any = true;
    }
    return any;
}

/* Looks at one step from a node; what led to nothing is forgotten. */
static void look(struct handsearch *s, uint32_t from,
                 const struct hand_act *act, uint32_t cost)
{
    struct hand_node node = {.parent = from, .act = *act,
                             .cost = s->nodes.at[from].cost + cost};
    struct hand_shown shown;

    if (s->tried >= s->most_tried) {
        s->gave_up = true;
        return;
    }
    s->tried++;
    memset(s->happened, 0, s->obligations->n * sizeof *s->happened);
    node.stand = handsearch_step(s, &s->nodes.at[from].stand, act,
                                 s->happened);
    if (steer_end(s->steer) != EXPLORE_COMPLETE ||
        steer_is_empty(s->steer, node.stand.place))
        return;
    node.expected = handsearch_expect(s, node.stand.place);
    shown = (struct hand_shown){&s->nodes.at[from].stand, act,
                                s->nodes.at[from].expected, node.expected};
    handsearch_effects(s, &shown, s->happened);
    if (note_first(s, node.cost) || !is_known(s, &node.stand))
        vec_push(&s->nodes, node);
}

/* ---- steps from a node ---- */

static bool is_at_rest(const struct handsearch *s,
                       const struct hand_stand *stand, uint32_t control)
{
    return stand->position[control] ==
           choice_of(s->logic->model, control)->rest;
}

static uint32_t count_away(const struct handsearch *s,
                           const struct hand_stand *stand)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < s->logic->model->n_controls; i++)
        n += !is_at_rest(s, stand, i);
    return n;
}

/* The change with the usual wait and, where the machine moves, until it is
 * seen anywhere. */
static void look_at_change(struct handsearch *s, uint32_t from,
                           struct hand_act act, uint32_t cost)
{
    enum { MOST_SEEN = 16 };

    act.seconds = HAND_USUAL_S;
    act.machine = MODEL_NONE;
    if (act.n_changes > 0)
        look(s, from, &act, cost);
    act.seconds = 0;
    for (uint32_t i = 0; s->moving && i < s->logic->n_machine; i++) {
        const struct hand_value *value = &s->logic->machine[i];

        act.machine = i;
        if (value->cell == FLAT_NONE || value->high - value->low >= MOST_SEEN)
            continue;
        for (act.seen = value->low; act.seen <= value->high; act.seen++)
            look(s, from, &act, cost + COST_SEEN);
    }
}

static void move_one(struct handsearch *s, uint32_t from, uint32_t control)
{
    const struct choice *choice = choice_of(s->logic->model, control);
    const struct hand_stand stand = s->nodes.at[from].stand;
    bool resting = is_at_rest(s, &stand, control);
    uint32_t away = count_away(s, &stand);

    if (s->left_out[control] || (resting && away >= MOST_AWAY))
        return;
    for (uint32_t to = 0; to < choice->count; to++) {
        const struct hand_act act = {
            .changes = {{control, stand.position[control], to}},
            .n_changes = 1};

        if (to != stand.position[control])
            look_at_change(s, from, act,
                           to == choice->rest ? COST_BACK
                                              : COST_MOVE + COST_HELD * away);
    }
}

static bool is_button(const struct handsearch *s, uint32_t control)
{
    return s->logic->model->controls[control].kind == SIGNAL_BUTTON &&
           !s->left_out[control];
}

/* Two buttons pressed, or let go, together. */
static void move_two(struct handsearch *s, uint32_t from, uint32_t a,
                     uint32_t b)
{
    const struct hand_stand stand = s->nodes.at[from].stand;
    uint32_t pa = stand.position[a], pb = stand.position[b];
    uint32_t away = count_away(s, &stand);
    bool resting = is_at_rest(s, &stand, a);
    const struct hand_act act = {.changes = {{a, pa, 1 - pa}, {b, pb, 1 - pb}},
                                 .n_changes = 2};

    if (resting == is_at_rest(s, &stand, b) &&
        (!resting || away + 2 <= MOST_AWAY))
        look_at_change(s, from, act, resting ? COST_TOGETHER +
                                                   COST_HELD * away
                                             : COST_TOGETHER);
}

static void wait_longer(struct handsearch *s, uint32_t from)
{
    for (size_t i = 0; i < sizeof longer / sizeof *longer; i++) {
        const struct hand_act act = {.seconds = longer[i],
                                     .machine = MODEL_NONE};

        look(s, from, &act, COST_WAIT);
    }
}

static void look_from(struct handsearch *s, uint32_t from)
{
    const struct hand_act nothing = {.n_changes = 0};
    uint32_t n = s->logic->model->n_controls;

    for (uint32_t i = 0; i < n; i++)
        move_one(s, from, i);
    for (uint32_t a = 0; a < n; a++)
        for (uint32_t b = a + 1; b < n; b++)
            if (is_button(s, a) && is_button(s, b))
                move_two(s, from, a, b);
    wait_longer(s, from);
    look_at_change(s, from, nothing, 0);
}

/* Can an obligation of a range be reached at less cost by looking on? */
static bool any_pending(const struct handsearch *s, uint32_t from,
                        uint32_t to, uint32_t cost)
{
    for (uint32_t i = from; i < to; i++)
        if (s->pending[i] && (s->first[i] == MODEL_NONE ||
                              s->nodes.at[s->first[i]].cost > cost))
            return true;
    return false;
}

static bool goes_on(const struct handsearch *s, uint32_t cost)
{
    const struct obligations *all = s->obligations;

    return any_pending(s, 0, all->n_watched, cost) ||
           (s->tried < s->for_effects &&
            any_pending(s, all->n_watched, all->n, cost));
}

/* The cheapest node whose steps were not looked at, the first of several. */
static uint32_t next_node(const struct handsearch *s)
{
    uint32_t best = MODEL_NONE;

    for (uint32_t i = 0; i < s->nodes.n; i++)
        if (!s->nodes.at[i].done &&
            (best == MODEL_NONE ||
             s->nodes.at[i].cost < s->nodes.at[best].cost))
            best = i;
    return best;
}

void handsearch_go(struct handsearch *s)
{
    uint32_t next;

    while ((next = next_node(s)) != MODEL_NONE &&
           goes_on(s, s->nodes.at[next].cost) &&
           s->tried < s->most_tried &&
           steer_end(s->steer) == EXPLORE_COMPLETE) {
        s->nodes.at[next].done = true;
        look_from(s, next);
    }
}
