#include "study/handturn.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"

static const struct hand_node *node_of(const struct turning *t, uint32_t node)
{
    return &t->finder->search.nodes.at[node];
}

bool handturn_is_on(const struct hand_expected *what)
{
    return what->sure && what->value != 0;
}

bool handturn_is_off(const struct hand_expected *what)
{
    return what->sure && what->value == 0;
}

bool handturn_all(const struct turning *t,
                  const struct hand_expected *expected,
                  bool (*asked)(const struct hand_expected *what))
{
    const struct hand_node *to = node_of(t, t->node);
    const struct hand_node *from = node_of(t, t->from);

    for (uint32_t i = 0; i < t->finder->logic->model->n_actuators; i++)
        if (handturn_is_off(&from->expected[i]) &&
            handturn_is_on(&to->expected[i]) && !asked(&expected[i]))
            return false;
    return true;
}

/* What a step from there shows; NULL: it is not allowed. */
const struct hand_expected *handturn_shown(const struct turning *t,
                                            const struct hand_stand *stand,
                                            const struct hand_act *act)
{
    struct handsearch *s = &t->finder->search;
    struct hand_stand to = handsearch_step(s, stand, act, NULL);

    return steer_is_empty(s->steer, to.place)
               ? NULL : handsearch_expect(s, to.place);
}

bool handturn_works(const struct turning *t, const struct handwrite *w)
{
    const struct hand_expected *with = handturn_shown(t, &w->stand, t->act);

    return with != NULL && handturn_all(t, w->expected, handturn_is_off) &&
           handturn_all(t, with, handturn_is_on);
}

bool handturn_moves(const struct hand_act *act, uint32_t control)
{
    for (uint32_t i = 0; i < act->n_changes; i++)
        if (act->changes[i].control == control)
            return true;
    return false;
}

bool handturn_away(const struct turning *t, uint32_t control,
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
           !handturn_moves(t->act, control) &&
           node_of(t, t->from)->stand.position[control] == choice->rest;
}

const struct hand_act *handturn_way(const struct turning *t, uint32_t *n,
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

const struct turning *handturn_list(struct finder *f, uint32_t *n)
{
    struct arena *arena = f->study->arena;
    bool *done = arena_array(arena, f->search.nodes.n + 1, sizeof *done);
    struct turning *list = arena_array(arena, f->search.nodes.n + 1,
                                       sizeof *list);

    *n = 0;
    for (uint32_t i = f->obligations->n_watched; i < f->obligations->n; i++) {
        uint32_t node = f->search.first[i];
        const struct hand_node *to;

        if (!is_asked(f, i) || done[node])
            continue;
        done[node] = true;
        to = &f->search.nodes.at[node];
        list[(*n)++] = (struct turning){f, node, to->parent, &to->act};
    }
    return list;
}

/* Are all its controls there already? */
static bool is_done(const struct handwrite *w, const struct hand_act *act)
{
    for (uint32_t i = 0; i < act->n_changes; i++)
        if (w->stand.position[act->changes[i].control] != act->changes[i].to)
            return false;
    return act->n_changes > 0;
}

bool handturn_again(const struct turning *t, struct handwrite *w)
{
    uint32_t n, root;
    const struct hand_act *way = handturn_way(t, &n, &root);

    for (uint32_t i = 0; i + 1 < n; i++)
        if (!is_done(w, &way[i]) &&
            (!handwrite_try(t->finder, w, &way[i]) ||
             !handturn_all(t, w->expected, handturn_is_off)))
            return false;
    return true;
}
