#include "study/handreturn.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/handturn.h"

static bool is_sure(const struct hand_expected *what)
{
    return what->sure;
}

/* Adds a step, of which it is sure what it does to all that the step that
 * turns something on does. */
static bool show(const struct turning *t, struct handwrite *w,
                 const struct hand_act *act)
{
    return handwrite_try(t->finder, w, act) &&
           handturn_all(t, w->expected, is_sure);
}

/* The step once more, if it turns everything on again. */
static void work_again(const struct turning *t, struct handwrite *w)
{
    struct handwrite_mark mark = handwrite_mark(w);

    if (!handturn_works(t, w) &&
        !(handturn_again(t, w) && handturn_works(t, w))) {
        handwrite_take_back(t->finder, w, &mark);
        return;
    }
    handwrite_try(t->finder, w, t->act);
}

/* So many of its changes, from one on, while the supply is off, and then the
 * others; all undone.  False: it is not sure what is seen, or not allowed. */
static bool write_held(const struct turning *t, uint32_t first, uint32_t n)
{
    const struct hand_act undo = handwrite_reverse(t->act);
    struct hand_act held = *t->act, then = *t->act;
    struct handwrite w = {0};

    held.n_changes = n;
    held.changes[0] = t->act->changes[first];
    held.power = true;
    held.seconds = HAND_USUAL_S;
    then.n_changes = t->act->n_changes - n;
    then.changes[0] = t->act->changes[t->act->n_changes - 1 - first];
    then.seconds = HAND_USUAL_S;
    handwrite_way(t->finder, &w, t->from);
    if (show(t, &w, &held) &&
        (then.n_changes == 0 || show(t, &w, &then)) &&
        handwrite_try(t->finder, &w, &undo)) {
        work_again(t, &w);
        handwrite_finish(t->finder, &w);
        return true;
    }
    handwrite_drop(&w);
    return false;
}

/* Two buttons together, and each of them before the other one. */
static bool write_all(const struct turning *t)
{
    bool any = write_held(t, 0, t->act->n_changes);

    for (uint32_t k = 0; t->act->n_changes == 2 && k < 2; k++)
        any = write_held(t, k, 1) || any;
    return any;
}

/* Was a step that moves these controls so not written yet? */
static bool is_new(const struct turning *list, const bool *written,
                   uint32_t number)
{
    const struct hand_act *act = list[number].act;

    for (uint32_t i = 0; i < number; i++)
        if (written[i] &&
            handwrite_same(list[i].act->changes, list[i].act->n_changes,
                           act->changes, act->n_changes))
            return false;
    return true;
}

void handreturn_write(struct finder *f)
{
    uint32_t n;
    const struct turning *list = handturn_list(f, &n);
    bool *written = arena_array(f->study->arena, (size_t)n + 1,
                                sizeof *written);

    for (uint32_t i = 0; i < n && f->logic->power != MODEL_NONE; i++)
        written[i] = is_new(list, written, i) &&
                     steer_end(f->search.steer) == EXPLORE_COMPLETE &&
                     write_all(&list[i]);
}
