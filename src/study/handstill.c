#include "study/handstill.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/handturn.h"

struct still {
    struct finder *finder;
    const struct turning *list;
    uint32_t n;
    bool *shown; /* n_controls of each step: it works with that one away */
};

/* Is it one that stays where it is put, and matters elsewhere? */
static bool is_switch(const struct finder *f, uint32_t control)
{
    enum signal_kind kind = f->logic->model->controls[control].kind;

    return f->keeps[control] &&
           (kind == SIGNAL_SWITCH || kind == SIGNAL_SELECTOR);
}

static bool *shown_of(const struct still *s, uint32_t step)
{
    return &s->shown[(size_t)step * s->finder->logic->model->n_controls];
}

static bool is_away(const struct finder *f, const struct handwrite *w,
                    uint32_t control)
{
    const struct model *model = f->logic->model;

    return w->stand.position[control] !=
           model->choices[model->controls[control].choice].rest;
}

/* Puts a control away, if the step still works then. */
static bool put_away(const struct still *s, uint32_t step,
                     struct handwrite *w, uint32_t control)
{
    const struct turning *t = &s->list[step];
    const struct model *model = s->finder->logic->model;
    uint32_t count =
        model->choices[model->controls[control].choice].count;

    for (uint32_t to = 0; to < count; to++) {
        struct handwrite_mark mark = handwrite_mark(w);
        struct hand_act away;

        if (!handturn_away(t, control, to, &away))
            continue;
        if (handwrite_try(s->finder, w, &away) && handturn_works(t, w))
            return true;
        handwrite_take_back(s->finder, w, &mark);
    }
    return false;
}

/* The step from here, undone again, if it works and that was not shown with
 * all that is away. */
static bool show(const struct still *s, uint32_t step, struct handwrite *w)
{
    const struct turning *t = &s->list[step];
    const struct hand_act undo = handwrite_reverse(t->act);
    struct handwrite_mark mark = handwrite_mark(w);
    bool news = false;

    for (uint32_t i = 0; i < s->finder->logic->model->n_controls; i++)
        news = news || (is_switch(s->finder, i) && !shown_of(s, step)[i] &&
                        !handturn_moves(t->act, i) &&
                        is_away(s->finder, w, i));
    if (!news || !handturn_works(t, w))
        return false;
    if (!handwrite_try(s->finder, w, t->act) ||
        !handwrite_try(s->finder, w, &undo)) {
        handwrite_take_back(s->finder, w, &mark);
        return false;
    }
    for (uint32_t i = 0; i < s->finder->logic->model->n_controls; i++)
        if (is_away(s->finder, w, i))
            shown_of(s, step)[i] = true;
    return true;
}

/* All that makes no difference away, the step, and others from there. */
static void write_step(const struct still *s, uint32_t step)
{
    struct finder *f = s->finder;
    struct handwrite w = {0};
    bool any = false;

    handwrite_way(f, &w, s->list[step].from);
    for (uint32_t i = 0; i < f->logic->model->n_controls; i++)
        if (is_switch(f, i) && !shown_of(s, step)[i] &&
            steer_end(f->search.steer) == EXPLORE_COMPLETE)
            any = put_away(s, step, &w, i) || any;
    if (any && show(s, step, &w)) {
        for (uint32_t i = 0; i < s->n; i++)
            if (i != step)
                show(s, i, &w);
        handwrite_finish(f, &w);
        return;
    }
    handwrite_drop(&w);
}

void handstill_write(struct finder *f)
{
    struct still s = {.finder = f};

    s.list = handturn_list(f, &s.n);
    s.shown = arena_array(
        f->study->arena,
        (size_t)s.n * f->logic->model->n_controls + 1, sizeof *s.shown);
    for (uint32_t i = 0; i < s.n; i++)
        write_step(&s, i);
}
