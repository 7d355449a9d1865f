#include "study/handpairs.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/handwrite.h"

enum { MOST_STEPS = 40 }; /* of a sequence */

/* A step that turns something on. */
struct turning {
    struct finder *finder;
    uint32_t node;           /* that it leads to */
    uint32_t from;           /* where it begins */
    const struct hand_act *act;
};

static const struct hand_node *node_of(const struct turning *t, uint32_t node)
{
    return &t->finder->search.nodes.at[node];
}

static bool is_on(const struct hand_expected *what)
{
    return what->sure && what->value != 0;
}

static bool is_off(const struct hand_expected *what)
{
    return what->sure && what->value == 0;
}

/* Is all that the step turns on as it is asked? */
static bool all_are(const struct turning *t,
                    const struct hand_expected *expected,
                    bool (*asked)(const struct hand_expected *))
{
    const struct hand_node *to = node_of(t, t->node);
    const struct hand_node *from = node_of(t, t->from);

    for (uint32_t i = 0; i < t->finder->logic->model->n_actuators; i++)
        if (is_off(&from->expected[i]) && is_on(&to->expected[i]) &&
            !asked(&expected[i]))
            return false;
    return true;
}

/* What a step from there shows; NULL: it is not allowed. */
static const struct hand_expected *shown_by(const struct turning *t,
                                            const struct hand_stand *stand,
                                            const struct hand_act *act)
{
    struct handsearch *s = &t->finder->search;
    struct hand_stand to = handsearch_step(s, stand, act, NULL);

    return steer_is_empty(s->steer, to.place)
               ? NULL : handsearch_expect(s, to.place);
}

/* ---- one control ---- */

static bool is_moved(const struct hand_act *act, uint32_t control)
{
    for (uint32_t i = 0; i < act->n_changes; i++)
        if (act->changes[i].control == control)
            return true;
    return false;
}

/* Away from rest, if it is there. */
static bool away_of(const struct turning *t, uint32_t control,
                    uint32_t position, struct hand_act *away)
{
    const struct model *model = t->finder->logic->model;
    const struct choice *choice =
        &model->choices[model->controls[control].choice];

    *away = (struct hand_act){.changes = {{control, choice->rest, position}},
                              .n_changes = 1, .seconds = HAND_USUAL_S,
                              .machine = MODEL_NONE};
    return position != choice->rest && position < choice->count &&
           !t->finder->search.left_out[control] &&
           !is_moved(t->act, control) &&
           node_of(t, t->from)->stand.position[control] == choice->rest;
}

/* Away, the step, back, the step undone; false: nothing is written, since it
 * does not keep it from happening, or it cannot be said. */
static bool try_pair(const struct turning *t, struct handwrite *w,
                     const struct hand_act *away)
{
    struct finder *f = t->finder;
    struct handwrite_mark mark = handwrite_mark(w);
    const struct hand_expected *without = shown_by(t, &w->stand, t->act);
    const struct hand_act back = handwrite_reverse(away),
                          undo = handwrite_reverse(t->act);

    if (without != NULL && all_are(t, without, is_on) &&
        handwrite_try(f, w, away) && all_are(t, w->expected, is_off) &&
        handwrite_try(f, w, t->act) && all_are(t, w->expected, is_off)) {
        f->n_pairs++;
        if (handwrite_try(f, w, &back))
            handwrite_try(f, w, &undo);
        return true;
    }
    handwrite_take_back(f, w, &mark);
    return false;
}

/* Would the step do from here what it did? */
static bool is_ready(const struct turning *t, const struct handwrite *w)
{
    const struct hand_expected *without;

    if (!handwrite_is_as(t->finder, w, t->from) ||
        w->steps.n >= MOST_STEPS)
        return false;
    without = shown_by(t, &w->stand, t->act);
    return without != NULL && all_are(t, without, is_on);
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
    with = shown_by(t, &stand, t->act);
    return with != NULL && all_are(t, with, is_off) &&
           all_are(t, handsearch_expect(s, stand.place), is_off);
}

/* Of each control the first position that does. */
static struct hand_act *find_keeping(const struct turning *t, uint32_t *n)
{
    const struct model *model = t->finder->logic->model;
    struct hand_act *list = arena_array(t->finder->study->arena,
                                        model->n_controls + 1, sizeof *list);

    *n = 0;
    for (uint32_t i = 0; i < model->n_controls; i++)
        for (uint32_t k = 0;
             k < model->choices[model->controls[i].choice].count; k++)
            if (away_of(t, i, k, &list[*n]) && keeps_off(t, &list[*n])) {
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

/* The steps to the one that turns something on, and that one. */
static const struct hand_act *read_way(const struct turning *t, uint32_t *n,
                                       uint32_t *root)
{
    struct handsearch *s = &t->finder->search;
    struct hand_act *way = arena_array(s->arena, s->nodes.n + 1, sizeof *way);
    uint32_t at = t->node, left;

    *n = 0;
    for (; s->nodes.at[at].parent != MODEL_NONE; at = s->nodes.at[at].parent)
        ++*n;
    *root = at;
    left = *n;
    for (at = t->node; left > 0; at = s->nodes.at[at].parent)
        way[--left] = s->nodes.at[at].act;
    return way;
}

static void try_elsewhere(const struct turning *t,
                          const struct hand_where *where)
{
    struct finder *f = t->finder;
    struct handwrite w = {0};
    uint32_t n, root, i = 0;
    const struct hand_act *way = read_way(t, &n, &root);

    w.begin = w.stand = handsearch_rest(&f->search, where);
    if (steer_is_empty(f->search.steer, w.stand.place))
        return;
    w.expected = handsearch_expect(&f->search, w.stand.place);
    while (i < n && handwrite_try(f, &w, &way[i]))
        i++;
    if (i < n || !all_are(t, w.expected, is_off)) {
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

    read_way(t, &n, &root);
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

/* ---- effects ---- */

static bool is_asked(const struct finder *f, uint32_t effect)
{
    const struct obligation *what = &f->obligations->at[effect];
    uint32_t node = f->search.first[effect];
    const struct hand_act *act;

    if (what->control == MODEL_NONE || what->part == 0 ||
        !f->reached[effect] || node == MODEL_NONE ||
        f->search.nodes.at[node].parent == MODEL_NONE)
        return false;
    act = &f->search.nodes.at[node].act;
    for (uint32_t i = 0; i < act->n_changes; i++) {
        uint32_t row = f->logic->model->controls[act->changes[i].control]
                           .choice;

        if (act->changes[i].to == f->logic->model->choices[row].rest)
            return false;
    }
    return act->n_changes > 0 && act->seconds > 0;
}

void handpairs_write(struct finder *f)
{
    bool *done = arena_array(f->study->arena, f->search.nodes.n + 1,
                             sizeof *done);

    for (uint32_t i = f->obligations->n_watched; i < f->obligations->n; i++) {
        uint32_t node = f->search.first[i];
        struct turning t = {.finder = f, .node = node};

        if (!is_asked(f, i) || done[node])
            continue;
        done[node] = true;
        t.from = f->search.nodes.at[node].parent;
        t.act = &f->search.nodes.at[node].act;
        pair_controls(&t);
        if (!f->search.moving)
            pair_places(&t);
    }
}
