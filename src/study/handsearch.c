#include "study/handsearch.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/pace.h"
#include "check/type.h"

enum {
    MOST_AWAY = 3,       /* controls away from rest at once */
    MOST_DEPTH = 12
};

/* Waits that are tried, besides the usual one, s. */
static const uint32_t longer[] = {5, 15, 60};

/* ---- what is seen ---- */

static int64_t position_value(const struct model *model, uint32_t control,
                              uint32_t index)
{
    return model->choices[model->controls[control].choice].values[index];
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
    if (stand->machine == MODEL_NONE)
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

/* Until the machine is seen there, and a little longer. */
static uint32_t until_seen(struct handsearch *s, uint32_t place,
                           const struct hand_act *act)
{
    const struct model *model = s->logic->model;
    struct steer_scans scans = {.most = UINT64_MAX, .held = &s->seen};
    uint32_t at = model->n_controls + 1 + act->machine;

    place = steer_scans(s->steer, place, &scans);
    s->given[at] = true;
    s->value[at] = act->seen;
    place = steer_keep(s->steer, place, &s->seen);
    s->given[at] = false;
    scans.most = scans_at_most(model, HAND_REACTION_MS);
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
        to.place = until_seen(s, to.place, act);
        return to;
    }
    by_the_watch(s->logic->model, act->seconds, &scans);
    to.place = steer_scans(s->steer, to.place, &scans);
    return to;
}

struct hand_stand handsearch_rest(struct handsearch *s, uint32_t kept,
                                  int64_t at)
{
    const struct model *model = s->logic->model;
    uint32_t *position = arena_array(s->arena, model->n_controls + 1,
                                     sizeof *position);
    struct hand_stand rest = {.position = position, .machine = kept,
                              .at = at};
    struct steer_scans scans = {
        .least = scans_at_least(model, HAND_REST_S * 1000),
        .most = UINT64_MAX, .held = &s->seen};

    for (uint32_t i = 0; i < model->n_controls; i++)
        position[i] = model->choices[model->controls[i].choice].rest;
    see(s, &rest);
    rest.place = steer_scans(
        s->steer, steer_keep(s->steer, STEER_REACHED, &s->seen), &scans);
    return rest;
}

/* ---- nodes ---- */

/* Was this place seen before, with the same part of the machine kept? */
static bool is_known(const struct handsearch *s,
                     const struct hand_stand *stand)
{
    for (size_t i = s->nodes.n; i-- > 0;) {
        const struct hand_stand *other = &s->nodes.at[i].stand;

        if (other->place == stand->place &&
            other->machine == stand->machine &&
            (stand->machine == MODEL_NONE || other->at == stand->at) &&
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
        .happened = arena_array(s->arena, s->n_obligations + 1,
                                sizeof(bool))};

    if (!steer_is_empty(s->steer, stand.place))
        vec_push(&s->nodes, node);
}

/* Looks at one step from a node. */
static void look(struct handsearch *s, uint32_t from,
                 const struct hand_act *act)
{
    bool *happened = arena_array(s->arena, s->n_obligations + 1,
                                 sizeof *happened);
    struct hand_node node = {.parent = from, .act = *act,
                             .depth = s->nodes.at[from].depth + 1,
                             .happened = happened};
    bool fresh = false;

    if (s->tried >= s->most_tried) {
        s->gave_up = true;
        return;
    }
    s->tried++;
    node.stand = handsearch_step(s, &s->nodes.at[from].stand, act, happened);
    if (steer_end(s->steer) != EXPLORE_COMPLETE ||
        steer_is_empty(s->steer, node.stand.place))
        return;
    for (uint32_t i = 0; i < s->n_obligations; i++) {
        happened[i] = happened[i] || s->logic->always[i];
        if (!happened[i] || s->first[i] != MODEL_NONE)
            continue;
        s->first[i] = (uint32_t)s->nodes.n;
        fresh = true;
    }
    if (fresh || !is_known(s, &node.stand))
        vec_push(&s->nodes, node);
}

/* ---- steps from a node ---- */

static const struct choice *choice_of(const struct model *model,
                                      uint32_t control)
{
    return &model->choices[model->controls[control].choice];
}

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

static void move_one(struct handsearch *s, uint32_t from, uint32_t control)
{
    const struct choice *choice = choice_of(s->logic->model, control);
    const struct hand_stand stand = s->nodes.at[from].stand;
    bool resting = is_at_rest(s, &stand, control);

    if (s->left_out[control] ||
        (resting && count_away(s, &stand) >= MOST_AWAY))
        return;
    for (uint32_t to = 0; to < choice->count; to++) {
        const struct hand_act act = {
            .changes = {{control, stand.position[control], to}},
            .n_changes = 1, .seconds = HAND_USUAL_S, .machine = MODEL_NONE};

        if (to != stand.position[control])
            look(s, from, &act);
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
    const struct hand_act act = {
        .changes = {{a, pa, 1 - pa}, {b, pb, 1 - pb}}, .n_changes = 2,
        .seconds = HAND_USUAL_S, .machine = MODEL_NONE};

    if (is_at_rest(s, &stand, a) != is_at_rest(s, &stand, b) ||
        (is_at_rest(s, &stand, a) && count_away(s, &stand) + 2 > MOST_AWAY))
        return;
    look(s, from, &act);
}

static void wait_longer(struct handsearch *s, uint32_t from)
{
    for (size_t i = 0; i < sizeof longer / sizeof *longer; i++) {
        const struct hand_act act = {.seconds = longer[i],
                                     .machine = MODEL_NONE};

        look(s, from, &act);
    }
}

static void wait_to_see(struct handsearch *s, uint32_t from, uint32_t machine)
{
    const struct hand_value *value = &s->logic->machine[machine];
    enum { MOST_SEEN = 16 };

    if (value->cell == FLAT_NONE || value->high - value->low >= MOST_SEEN)
        return;
    for (int64_t seen = value->low; seen <= value->high; seen++) {
        const struct hand_act act = {.machine = machine, .seen = seen};

        look(s, from, &act);
    }
}

static void look_from(struct handsearch *s, uint32_t from)
{
    uint32_t n = s->logic->model->n_controls;

    for (uint32_t i = 0; i < n; i++)
        move_one(s, from, i);
    for (uint32_t a = 0; a < n; a++)
        for (uint32_t b = a + 1; b < n; b++)
            if (is_button(s, a) && is_button(s, b))
                move_two(s, from, a, b);
    wait_longer(s, from);
    for (uint32_t i = 0; s->moving && i < s->logic->n_machine; i++)
        wait_to_see(s, from, i);
}

static bool all_met(const struct handsearch *s, const bool *wanted)
{
    for (uint32_t i = 0; i < s->n_obligations; i++)
        if (wanted[i] && s->first[i] == MODEL_NONE)
            return false;
    return true;
}

void handsearch_go(struct handsearch *s, const bool *wanted)
{
    for (uint32_t i = 0; i < s->nodes.n && !all_met(s, wanted); i++) {
        if (s->nodes.at[i].depth >= MOST_DEPTH) {
            s->gave_up = true;
            return;
        }
        look_from(s, i);
        if (s->tried >= s->most_tried ||
            steer_end(s->steer) != EXPLORE_COMPLETE)
            break;
    }
}
