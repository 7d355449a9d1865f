#include "study/handsearch.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/type.h"
#include "study/handknown.h"
#include "study/handtime.h"

enum {
    MOST_AWAY = 3, /* controls away from rest at once */
    /* What a step costs: */
    COST_MOVE = 2, COST_TOGETHER = 5, COST_BACK = 1, COST_WAIT = 4,
    COST_SEEN = 3,
    RANK_SOMEWHERE = 3, /* where the machine must be brought first */
    DRIVEN_MS = 2000, /* what drives it begins within */
    MOST_SEEN = 16, /* places of a variable that is waited for */
    RANK_NEWS = 1,
    RANK_INERT = 4, /* of what only matters later, if at all */
    COST_HELD = 2, /* for each control that is held meanwhile */
    MOST_REACHED = 50000, MOST_WIDENED = 100000 /* situations to begin from */
};

/* Waits that are tried, besides the usual one, s. */
static const uint32_t longer[] = {5, 15, 60};

/* ---- what is seen ---- */

static const struct choice *choice_of(const struct model *model,
                                      uint32_t control)
{
    return &model->choices[model->controls[control].choice];
}

/* The grip of these hands, with power on or off. */
static uint32_t grip_of(struct handsearch *s, const uint32_t *position,
                        bool dark)
{
    const struct model *model = s->logic->model;

    for (uint32_t i = 0; i < model->n_choices; i++)
        s->fixed[i] = FLAT_NONE;
    for (uint32_t i = 0; i < model->n_controls; i++)
        s->fixed[model->controls[i].choice] = position[i];
    if (s->logic->power != MODEL_NONE) {
        uint32_t on = model->choices[s->logic->power].rest;

        s->fixed[s->logic->power] = dark ? 1 - on : on;
    }
    return steer_grip(s->steer, s->fixed);
}

/* The machine, where it is to stand. */
static const struct steer_at *places_of(struct handsearch *s,
                                        const struct hand_where *where)
{
    struct steer_at *at = arena_array(s->arena, (size_t)where->n_given + 1,
                                      sizeof *at);
    uint32_t n = 0;

    for (uint32_t i = 0; i < s->logic->n_machine; i++)
        if (where->given[i])
            at[n++] = (struct steer_at){s->logic->machine[i].cell,
                                        where->at[i]};
    return at;
}

/* Scans of which nothing else is asked. */
static struct steer_scans scans_of(struct handsearch *s,
                                   const struct hand_stand *stand)
{
    struct steer_scans scans = {.grip = grip_of(s, stand->position, false),
                                .avoid = FLAT_NONE};

    if (stand->kept) {
        scans.held = places_of(s, stand->where);
        scans.n_held = stand->where->n_given;
    }
    return scans;
}

/* ---- one step ---- */

/* What is so of it in the whole place. */
static struct hand_expected expect(struct handsearch *s, uint32_t place,
                                   const struct hand_value *of)
{
    struct hand_expected found = {of->cell == FLAT_NONE, of->low};

    if (!found.sure && !steer_is_empty(s->steer, place))
        found.sure = steer_sure(s->steer, place, of->cell, &found.value);
    return found;
}

/* One hand is there already, the other one comes a little later. */
static uint32_t one_ahead(struct handsearch *s, const struct hand_stand *from,
                          const struct hand_change *ahead)
{
    struct hand_stand between = *from;
    uint32_t *position = arena_array(s->arena, s->logic->model->n_controls,
                                     sizeof *position);
    struct steer_scans scans;

    memcpy(position, from->position,
           s->logic->model->n_controls * sizeof *position);
    position[ahead->control] = ahead->to;
    between.position = position;
    scans = scans_of(s, &between);
    scans.most = handtime_most(s->logic->model, HAND_APART_MS) - 1;
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
    const struct hand_value *value = &s->logic->machine[act->machine];

    if (value->cell == FLAT_NONE)
        return value->low == act->seen ? place : steer_nowhere(s->steer);
    return steer_keep(s->steer, place,
                      (struct steer_at){value->cell, act->seen});
}

/* Can it be seen there without an obligation having been met on the way? */
static bool can_avoid(struct handsearch *s, uint32_t place,
                      const struct hand_act *act,
                      const struct steer_scans *so, uint32_t obligation)
{
    struct steer_scans scans = *so;

    scans.avoid = obligation;
    place = steer_scans(s->steer, place, &scans);
    return !steer_is_empty(s->steer, keep_seen(s, place, act));
}

/* Until the machine is seen there, and a little longer. */
static uint32_t until_seen(struct handsearch *s, uint32_t from,
                           const struct hand_act *act,
                           const struct steer_scans *so, bool *happened)
{
    struct steer_scans scans = *so;
    uint32_t place;

    scans.most = UINT64_MAX;
    place = keep_seen(s, steer_scans(s->steer, from, &scans), act);
    if (steer_is_empty(s->steer, place))
        return steer_nowhere(s->steer);
    for (uint32_t i = 0; happened != NULL && i < s->obligations->n_watched;
         i++)
        if (s->pending[i])
            happened[i] = !can_avoid(s, from, act, &scans, i);
    scans.most = handtime_most(s->logic->model, HAND_REACTION_MS);
    return steer_scans(s->steer, place, &scans);
}

/* Where it may stand when all hands are there. */
static uint32_t start_of(struct handsearch *s, const struct hand_stand *from,
                         const struct hand_act *act)
{
    if (act->n_changes < 2)
        return from->place;
    return steer_join(s->steer, one_ahead(s, from, &act->changes[0]),
                      one_ahead(s, from, &act->changes[1]));
}

/* Scans without power, under these hands. */
static uint32_t in_the_dark(struct handsearch *s, uint32_t place,
                            const struct hand_stand *hands, uint64_t least)
{
    struct steer_scans scans = scans_of(s, hands);

    scans.grip = grip_of(s, hands->position, true);
    scans.least = least;
    scans.most = UINT64_MAX;
    return steer_scans(s->steer, place, &scans);
}

/* The supply goes, and the hands move one by one, in either order; nowhere
 * where power never goes. */
static uint32_t power_gone(struct handsearch *s,
                           const struct hand_stand *from,
                           const struct hand_act *act)
{
    uint32_t place = steer_nowhere(s->steer), gone;
    struct hand_stand hands = *from;

    if (s->logic->power == MODEL_NONE)
        return place;
    gone = in_the_dark(s, from->place, from, 0);
    for (uint32_t i = 0; i < act->n_changes; i++) {
        hands.position = moved(s, from, &(struct hand_act){
                                            .changes = {act->changes[i]},
                                            .n_changes = 1});
        place = steer_join(s->steer, place, in_the_dark(s, gone, &hands, 0));
    }
    hands.position = moved(s, from, act);
    return in_the_dark(s, place, &hands,
                       handtime_least(s->logic->model, HAND_DARK_MS));
}

struct hand_stand handsearch_step(struct handsearch *s,
                                  const struct hand_stand *from,
                                  const struct hand_act *act, bool *happened)
{
    struct hand_stand to = *from;
    struct steer_scans scans;

    to.position = moved(s, from, act);
    to.place = act->power ? power_gone(s, from, act)
                          : start_of(s, from, act);
    scans = scans_of(s, &to);
    if (act->seconds == 0) {
        to.place = until_seen(s, to.place, act, &scans, happened);
        return to;
    }
    scans.happened = happened;
    handtime_watch(s->logic->model, act->seconds, &scans);
    to.place = steer_scans(s->steer, to.place, &scans);
    return to;
}

/* Those of a place in which the machine stands so. */
static uint32_t keep_where(struct handsearch *s, uint32_t place,
                           const struct hand_where *where)
{
    for (uint32_t i = 0; i < s->logic->n_machine; i++) {
        const struct hand_act look = {.machine = i, .seen = where->at[i]};

        if (where->given[i])
            place = keep_seen(s, place, &look);
    }
    return place;
}

/* Positions of all controls at rest. */
static const uint32_t *rest_of(struct handsearch *s)
{
    const struct model *model = s->logic->model;
    uint32_t *rest = arena_array(s->arena, model->n_controls + 1,
                                 sizeof *rest);

    for (uint32_t i = 0; i < model->n_controls; i++)
        rest[i] = choice_of(model, i)->rest;
    return rest;
}

struct hand_stand handsearch_rest(struct handsearch *s,
                                  const struct hand_where *where)
{
    struct hand_stand rest = {.position = rest_of(s), .where = where,
                              .kept = where->n_given > 0 && !s->moving};
    struct steer_scans scans;

    scans = scans_of(s, &rest);
    scans.least = handtime_least(s->logic->model, HAND_REST_S * 1000);
    scans.most = UINT64_MAX;
    rest.place = s->origin;
    if (rest.kept)
        rest.place = keep_where(s, rest.place, where);
    rest.place = steer_scans(s->steer, rest.place, &scans);
    if (!rest.kept)
        rest.place = keep_where(s, rest.place, where);
    return rest;
}

/* ---- what a step shows ---- */

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

    if (effect->control == MODEL_NONE || act->power)
        return false;
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

/* Those of a place in which the machine is not where it is to be seen. */
static uint32_t drop_seen(struct handsearch *s, uint32_t place,
                          const struct hand_act *act)
{
    const struct hand_value *value = &s->logic->machine[act->machine];
    struct hand_act other = *act;
    uint32_t rest = steer_nowhere(s->steer);

    for (other.seen = value->low; other.seen <= value->high; other.seen++)
        if (other.seen != act->seen)
            rest = steer_join(s->steer, rest, keep_seen(s, place, &other));
    return rest;
}

/* Was it on for sure while the machine moved there, and is now off? */
static void arrivals(struct handsearch *s, const struct hand_shown *shown,
                     bool *happened)
{
    const struct obligations *all = s->obligations;
    struct hand_stand to = *shown->from;
    struct steer_scans scans;
    uint64_t most = handtime_least(s->logic->model, DRIVEN_MS);

    to.position = moved(s, shown->from, shown->act);
    to.place = start_of(s, shown->from, shown->act);
    scans = scans_of(s, &to);
    scans.least = scans.most = 1;
    for (uint64_t k = 0; k < most; k++) {
        const struct hand_expected *soon;

        to.place = drop_seen(s, steer_scans(s->steer, to.place, &scans),
                             shown->act);
        if (steer_is_empty(s->steer, to.place))
            return;
        soon = handsearch_expect(s, to.place);
        for (uint32_t i = all->n_watched; i < all->n; i++)
            if (all->at[i].control == MODEL_NONE &&
                all->at[i].movement ==
                    s->logic->movement[shown->act->machine] &&
                all->at[i].at == shown->act->seen &&
                turns(&all->at[i], soon, shown->after))
                happened[i] = true;
    }
}

void handsearch_effects(struct handsearch *s, const struct hand_shown *shown,
                        bool *happened)
{
    const struct obligations *all = s->obligations;

    if (shown->act->seconds == 0)
        arrivals(s, shown, happened);
    for (uint32_t i = all->n_watched;
         shown->act->seconds > 0 && i < all->n; i++)
        if (is_of(&all->at[i], shown->act) &&
            turns(&all->at[i], shown->before, shown->after) &&
            (shown->act->n_changes == 1 ||
             !one_is_enough(s, shown, &all->at[i])))
            happened[i] = true;
}

/* ---- nodes ---- */

static bool is_same(const struct handsearch *s, const struct hand_where *a,
                    const struct hand_where *b)
{
    for (uint32_t i = 0; a != b && i < s->logic->n_machine; i++)
        if (a->given[i] != b->given[i] ||
            (a->given[i] && a->at[i] != b->at[i]))
            return false;
    return true;
}

/* A node that stands there, with the same part of the machine kept;
 * MODEL_NONE: there is none. */
static uint32_t find_known(const struct handsearch *s,
                           const struct hand_stand *stand)
{
    for (size_t i = s->nodes.n; i-- > 0;) {
        const struct hand_stand *other = &s->nodes.at[i].stand;

        if (other->place == stand->place && other->kept == stand->kept &&
            (!stand->kept || is_same(s, other->where, stand->where)) &&
            memcmp(other->position, stand->position,
                   s->logic->model->n_controls * sizeof(uint32_t)) == 0)
            return (uint32_t)i;
    }
    return MODEL_NONE;
}

uint32_t handsearch_begin(struct handsearch *s, struct hand_stand stand)
{
    struct hand_node node = {
        .stand = stand, .parent = MODEL_NONE,
        .expected = handsearch_expect(s, stand.place)};

    if (steer_is_empty(s->steer, stand.place))
        return MODEL_NONE;
    for (uint32_t i = 0; i < s->nodes.n; i++)
        if (s->nodes.at[i].parent == MODEL_NONE &&
            s->nodes.at[i].stand.place == stand.place &&
            is_same(s, s->nodes.at[i].stand.where, stand.where))
            return i;
    node.rank = stand.where->n_given == 0 ? 0 : RANK_SOMEWHERE;
    node.begin = ARENA_NEW(s->arena, struct hand_begin);
    node.begin->expected = node.expected;
    node.begin->known = handknown_new(s->arena, s->logic->slice);
    handknown_note(s->logic->slice, s->steer, stand.place,
                   node.begin->known);
    vec_push(&s->nodes, node);
    return (uint32_t)s->nodes.n - 1;
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

/* What a step costs. */
static uint32_t cost_of(const struct handsearch *s, uint32_t from,
                        const struct hand_act *act)
{
    const struct hand_stand *stand = &s->nodes.at[from].stand;
    const struct hand_change *c = &act->changes[0];
    uint32_t seen = act->seconds == 0 ? COST_SEEN : 0;

    if (act->n_changes == 0)
        return act->seconds == 0 ? COST_SEEN : COST_WAIT;
    if (c->to == choice_of(s->logic->model, c->control)->rest)
        return seen + (act->n_changes == 1 ? COST_BACK : COST_TOGETHER);
    return seen + COST_HELD * count_away(s, stand) +
           (act->n_changes == 1 ? COST_MOVE : COST_TOGETHER);
}

/* What a step reaches that nothing did before, or not at so little cost. */
enum news { NEWS_NONE, NEWS_EFFECT, NEWS_VALUE, NEWS_DUTY };

/* Notes what a step reaches at less cost than any before. */
static enum news note_first(struct handsearch *s, uint32_t cost)
{
    enum news news = NEWS_NONE, here;

    for (uint32_t i = 0; i < s->obligations->n; i++) {
        if (!s->pending[i] || !s->happened[i] ||
            (s->first[i] != MODEL_NONE &&
             s->nodes.at[s->first[i]].cost <= cost))
            continue;
        here = s->first[i] != MODEL_NONE || i >= s->obligations->first_vector
                   ? NEWS_EFFECT : NEWS_DUTY;
        s->first[i] = (uint32_t)s->nodes.n;
        news = here > news ? here : news;
    }
    return news;
}

/* What a step adds to the rank. */
static uint32_t rank_of(enum news news, uint32_t cost, bool inert)
{
    if (news == NEWS_DUTY)
        return 0;
    if (news == NEWS_VALUE)
        return RANK_NEWS;
    return cost + (inert ? RANK_INERT : 0);
}

uint32_t handsearch_follow(struct handsearch *s, uint32_t from,
                           const struct hand_act *act)
{
    struct hand_node node = {.parent = from, .act = *act,
                             .cost = s->nodes.at[from].cost +
                                     cost_of(s, from, act)};
    struct hand_shown shown;
    enum news news;
    uint32_t known;

    s->tried++;
    memset(s->happened, 0, s->obligations->n * sizeof *s->happened);
    node.stand = handsearch_step(s, &s->nodes.at[from].stand, act,
                                 s->happened);
    if (steer_end(s->steer) != EXPLORE_COMPLETE ||
        steer_is_empty(s->steer, node.stand.place))
        return MODEL_NONE;
    node.expected = handsearch_expect(s, node.stand.place);
    shown = (struct hand_shown){&s->nodes.at[from].stand, act,
                                s->nodes.at[from].expected, node.expected};
    handsearch_effects(s, &shown, s->happened);
    news = note_first(s, node.cost);
    node.begin = s->nodes.at[from].begin;
    if (handknown_note(s->logic->slice, s->steer, node.stand.place,
                       node.begin->known) && news < NEWS_VALUE)
        news = NEWS_VALUE;
    node.rank = s->nodes.at[from].rank +
                rank_of(news, node.cost - s->nodes.at[from].cost,
                        node.stand.place == s->nodes.at[from].stand.place);
    known = find_known(s, &node.stand);
    node.done = known != MODEL_NONE;
    if (news == NEWS_NONE && node.done)
        return known;
    vec_push(&s->nodes, node);
    return (uint32_t)s->nodes.n - 1;
}

/* False: it leads to where it began, or nowhere. */
static bool look(struct handsearch *s, uint32_t from,
                 const struct hand_act *act)
{
    uint32_t to;

    if (s->tried >= s->most_tried) {
        s->gave_up = true;
        return false;
    }
    to = handsearch_follow(s, from, act);
    return to != MODEL_NONE && s->nodes.at[to].stand.place !=
                                   s->nodes.at[from].stand.place;
}

/* ---- steps from a node ---- */

/* Does the machine stand for sure where it is to be seen? */
static bool is_there(struct handsearch *s, uint32_t from,
                     const struct hand_act *act)
{
    struct hand_expected at = expect(s, s->nodes.at[from].stand.place,
                                     &s->logic->machine[act->machine]);

    return at.sure && at.value == act->seen;
}

/* Looks for the places to which a variable is driven. */
static void look_for_arrival(struct handsearch *s, uint32_t from,
                             const struct hand_act *change,
                             const bool *to_there)
{
    struct hand_act act = *change;
    const struct hand_value *value = &s->logic->machine[act.machine];

    for (act.seen = value->low; act.seen <= value->high; act.seen++)
        if (to_there[act.seen - value->low] && !is_there(s, from, &act))
            look(s, from, &act);
}

/* The change, and then until the machine is seen where it moves to. */
static void look_until(struct handsearch *s, uint32_t from,
                       const struct hand_act *change)
{
    struct hand_act act = *change;
    struct hand_stand to = s->nodes.at[from].stand;
    uint32_t place = start_of(s, &to, &act);
    struct steer_scans scans;

    to.position = moved(s, &to, &act);
    scans = scans_of(s, &to);
    scans.least = handtime_least(s->logic->model, DRIVEN_MS);
    act.seconds = 0;
    for (act.machine = 0; act.machine < s->logic->n_machine; act.machine++) {
        const struct hand_value *value = &s->logic->machine[act.machine];
        bool to_there[MOST_SEEN] = {false};

        if (value->cell == FLAT_NONE || value->high - value->low >= MOST_SEEN)
            continue;
        steer_driven(s->steer, place, &scans, value->cell, to_there);
        look_for_arrival(s, from, &act, to_there);
    }
}

/* The change with the usual wait and, where the machine moves, until it is
 * seen where it can come to.  False: it leads to where it began. */
static bool look_at_change(struct handsearch *s, uint32_t from,
                           struct hand_act act)
{
    bool moves = false;

    act.seconds = HAND_USUAL_S;
    act.machine = MODEL_NONE;
    if (act.n_changes > 0)
        moves = look(s, from, &act);
    if (s->moving)
        look_until(s, from, &act);
    return moves;
}

static void move_one(struct handsearch *s, uint32_t from, uint32_t control)
{
    const struct choice *choice = choice_of(s->logic->model, control);
    const struct hand_stand stand = s->nodes.at[from].stand;
    bool resting = is_at_rest(s, &stand, control);
    uint32_t away = count_away(s, &stand);

    s->inert[control] = true;
    if (s->left_out[control] || (resting && away >= MOST_AWAY))
        return;
    for (uint32_t to = 0; to < choice->count; to++) {
        const struct hand_act act = {
            .changes = {{control, stand.position[control], to}},
            .n_changes = 1};

        if (to != stand.position[control] &&
            look_at_change(s, from, act))
            s->inert[control] = false;
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
        look_at_change(s, from, act);
}

static void wait_longer(struct handsearch *s, uint32_t from)
{
    for (size_t i = 0; i < sizeof longer / sizeof *longer; i++) {
        const struct hand_act act = {.seconds = longer[i],
                                     .machine = MODEL_NONE};

        if (!look(s, from, &act))
            return; /* nothing runs that a longer wait would see the end of */
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
            if (is_button(s, a) && is_button(s, b) && !s->inert[a] &&
                !s->inert[b])
                move_two(s, from, a, b);
    wait_longer(s, from);
    look_at_change(s, from, nothing);
}

/* Is there an obligation of a range that nothing has reached? */
static bool any_pending(const struct handsearch *s, uint32_t from,
                        uint32_t to)
{
    for (uint32_t i = from; i < to; i++)
        if (s->pending[i] && s->first[i] == MODEL_NONE)
            return true;
    return false;
}

static bool goes_on(const struct handsearch *s)
{
    const struct obligations *all = s->obligations;

    return any_pending(s, 0, all->first_vector) ||
           (s->tried < s->for_effects &&
            any_pending(s, all->first_vector, all->n));
}

/* Of the nodes whose steps were not looked at, the first of lowest rank. */
static uint32_t next_node(const struct handsearch *s)
{
    uint32_t best = MODEL_NONE;

    for (uint32_t i = 0; i < s->nodes.n; i++)
        if (!s->nodes.at[i].done &&
            (best == MODEL_NONE ||
             s->nodes.at[i].rank < s->nodes.at[best].rank))
            best = i;
    return best;
}

void handsearch_go(struct handsearch *s)
{
    uint32_t next;

    while ((next = next_node(s)) != MODEL_NONE && goes_on(s) &&
           s->tried < s->most_tried &&
           steer_end(s->steer) == EXPLORE_COMPLETE) {
        s->nodes.at[next].done = true;
        look_from(s, next);
    }
}

/* ---- where sequences begin ---- */

/* Power was off for a second, and what outlives that has any value. */
static uint32_t dark_place(struct handsearch *s, uint32_t first,
                           const uint32_t *rest)
{
    const struct hand_stand hands = {.position = rest};
    uint64_t least = handtime_least(s->logic->model, HAND_DARK_MS) + 1;

    return steer_widen(s->steer, in_the_dark(s, first, &hands, least),
                       s->logic->outlives, MOST_WIDENED);
}

bool handsearch_open(struct handsearch *s,
                     const struct explore_setting *setting)
{
    const struct model *model = s->logic->model;
    const uint32_t *rest = rest_of(s);
    uint32_t first, dark;

    s->fixed = arena_array(s->arena, model->n_choices + 1, sizeof *s->fixed);
    s->steer = steer_open(s->logic->slice, setting, s->logic->mark,
                          s->obligations->n_watched);
    s->origin = steer_reached(s->steer, MOST_REACHED);
    if (!steer_is_empty(s->steer, s->origin))
        return true;
    if (s->logic->power == MODEL_NONE)
        return false;
    s->from_power_up = true;
    grip_of(s, rest, false);
    first = steer_first(s->steer, s->fixed);
    dark = dark_place(s, first, rest);
    s->origin = steer_join(s->steer, first, dark);
    return !steer_is_empty(s->steer, dark);
}
