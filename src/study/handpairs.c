#include "study/handpairs.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/handturn.h"

enum { MOST_STEPS = 40 }; /* of a sequence */

static const struct hand_node *node_of(const struct turning *t, uint32_t node)
{
    return &t->finder->search.nodes.at[node];
}

/* ---- one control ---- */

/* Where the step would not work again if it were undone, as behind a stop that
 * latches: the way there under the held control, which was there before it and
 * must turn nothing on. */
static void ready_again(const struct turning *t, struct handwrite *w,
                        const struct hand_act *undo)
{
    struct finder *f = t->finder;
    struct handwrite_mark mark = handwrite_mark(w);
    struct hand_stand undone = handsearch_step(&f->search, &w->stand, undo,
                                               NULL);
    const struct hand_expected *then = handturn_shown(t, &undone, t->act);

    if ((then == NULL || !handturn_all(t, then, handturn_is_on)) &&
        !handturn_again(t, w))
        handwrite_take_back(f, w, &mark);
}

/* Away, the step, back, the step undone; false: nothing is written, since it
 * does not keep it from happening, or it cannot be said. */
static bool try_pair(const struct turning *t, struct handwrite *w,
                     const struct hand_act *away)
{
    struct finder *f = t->finder;
    struct handwrite_mark mark = handwrite_mark(w);
    const struct hand_expected *without = handturn_shown(t, &w->stand, t->act);
    const struct hand_act back = handwrite_reverse(away),
                          undo = handwrite_reverse(t->act);

    if (without != NULL && handturn_all(t, without, handturn_is_on) &&
        handwrite_try(f, w, away) &&
        handturn_all(t, w->expected, handturn_is_off) &&
        handwrite_try(f, w, t->act) &&
        handturn_all(t, w->expected, handturn_is_off)) {
        f->n_pairs++;
        f->keeps[away->changes[0].control] = true;
        if (handwrite_try(f, w, &back)) {
            ready_again(t, w, &undo);
            handwrite_try(f, w, &undo);
        }
        return true;
    }
    handwrite_take_back(f, w, &mark);
    return false;
}

/* Would the step do from here what it did? */
static bool is_ready(const struct turning *t, const struct handwrite *w)
{
    return handwrite_is_as(t->finder, w, t->from) &&
           w->steps.n < MOST_STEPS && handturn_works(t, w);
}

/* Does the step that is known for an effect begin where the step that turns
 * something on ended? */
static bool begins_behind(const struct turning *t, uint32_t effect)
{
    const struct handsearch *s = &t->finder->search;
    uint32_t node = s->first[effect], from;

    if (node == MODEL_NONE || s->nodes.at[node].parent == MODEL_NONE)
        return false;
    from = s->nodes.at[node].parent;
    for (uint32_t i = 0; i < t->act->n_changes; i++)
        if (s->nodes.at[from].stand.position[t->act->changes[i].control] !=
            t->act->changes[i].to)
            return false;
    return true;
}

static bool has_ended(const struct turning *t, uint32_t control,
                      uint32_t actuator)
{
    const struct finder *f = t->finder;
    const struct obligation *all = f->obligations->at;

    for (uint32_t i = f->obligations->n_watched; i < f->obligations->n; i++)
        if (f->reached[i] && all[i].control == control &&
            all[i].other == MODEL_NONE && all[i].index == actuator &&
            all[i].part == 0 && begins_behind(t, i))
            return true;
    return false;
}

/* Does some sequence show that it alone turns all of it off while it is on?
 * Then that is the pair; a stop must do both. */
static bool is_shown(const struct turning *t, uint32_t control)
{
    const struct model *model = t->finder->logic->model;
    const struct hand_expected *before = node_of(t, t->from)->expected;
    const struct hand_expected *after = node_of(t, t->node)->expected;

    if (model->controls[control].kind == SIGNAL_STOP)
        return false;
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (handturn_is_off(&before[i]) && handturn_is_on(&after[i]) &&
            !has_ended(t, control, i))
            return false;
    return true;
}

/* Does it alone keep the step from turning anything on? */
static bool keeps_off(const struct turning *t, const struct hand_act *away)
{
    struct handsearch *s = &t->finder->search;
    struct hand_stand stand = handsearch_step(
        s, &node_of(t, t->from)->stand, away, NULL);
    const struct hand_expected *with;

    if (steer_is_empty(s->steer, stand.place))
        return false;
    with = handturn_shown(t, &stand, t->act);
    return with != NULL && handturn_all(t, with, handturn_is_off) &&
           handturn_all(t, handsearch_expect(s, stand.place), handturn_is_off);
}

static void count_shown(struct finder *f, uint32_t control)
{
    f->n_pairs++;
    f->keeps[control] = true;
}

/* Of each control the first position that does, where that is not shown. */
static struct hand_act *find_keeping(const struct turning *t, uint32_t *n)
{
    const struct model *model = t->finder->logic->model;
    struct hand_act *list = arena_array(t->finder->study->arena,
                                        model->n_controls + 1, sizeof *list);

    *n = 0;
    for (uint32_t i = 0; i < model->n_controls; i++)
        for (uint32_t k = 0;
             k < model->choices[model->controls[i].choice].count; k++)
            if (handturn_away(t, i, k, &list[*n]) && keeps_off(t, &list[*n])) {
                if (is_shown(t, i))
                    count_shown(t->finder, i);
                else
                    ++*n;
                break;
            }
    return list;
}

/* As many in one sequence as begin where the one before ended. */
static void pair_controls(const struct turning *t)
{
    uint32_t n, i = 0;
    const struct hand_act *list = find_keeping(t, &n);

    while (i < n && steer_end(t->finder->search.steer) == EXPLORE_COMPLETE) {
        struct handwrite w = {0};
        bool any = false;

        handwrite_way(t->finder, &w, t->from);
        do
            any = try_pair(t, &w, &list[i++]) || any;
        while (i < n && is_ready(t, &w));
        if (any)
            handwrite_finish(t->finder, &w);
        else
            handwrite_drop(&w);
    }
}

/* ---- where the machine stands ---- */

static void try_elsewhere(const struct turning *t,
                          const struct hand_where *where)
{
    struct finder *f = t->finder;
    struct handwrite w = {0};
    uint32_t n, root, i = 0;
    const struct hand_act *way = handturn_way(t, &n, &root);

    w.begin = w.stand = handsearch_rest(&f->search, where);
    if (steer_is_empty(f->search.steer, w.stand.place))
        return;
    w.expected = handsearch_expect(&f->search, w.stand.place);
    while (i < n && handwrite_try(f, &w, &way[i]))
        i++;
    if (i < n || !handturn_all(t, w.expected, handturn_is_off)) {
        handwrite_drop(&w);
        return;
    }
    f->n_pairs++;
    handwrite_finish(f, &w);
}

/* One variable elsewhere, where it can begin. */
static void pair_places(const struct turning *t)
{
    const struct handlogic *logic = t->finder->logic;
    struct arena *arena = t->finder->study->arena;
    const struct hand_where *was;
    uint32_t n, root;

    handturn_way(t, &n, &root);
    was = node_of(t, root)->stand.where;
    for (uint32_t i = 0; i < logic->n_machine; i++)
        for (int64_t at = logic->machine[i].low;
             was->given[i] && at <= logic->machine[i].high; at++) {
            struct hand_where *where = ARENA_NEW(arena, struct hand_where);
            int64_t *all = arena_array(arena, logic->n_machine + 1,
                                       sizeof *all);

            if (at == was->at[i] || !handlogic_begins(logic, i, at))
                continue;
            memcpy(all, was->at, logic->n_machine * sizeof *all);
            all[i] = at;
            *where = *was;
            where->at = all;
            try_elsewhere(t, where);
        }
}

void handpairs_write(struct finder *f)
{
    uint32_t n;
    const struct turning *list = handturn_list(f, &n);

    for (uint32_t i = 0; i < n; i++) {
        pair_controls(&list[i]);
        if (!f->search.moving)
            pair_places(&list[i]);
    }
}
