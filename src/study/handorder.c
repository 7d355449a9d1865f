#include "study/handorder.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/handturn.h"

/* One move of an order; power: while the supply is off. */
struct move {
    uint32_t control, to;
    bool power;
};

/* A step that turns something on, and what is pressed in another order. */
struct ordering {
    const struct turning *turning;
    uint32_t ready;      /* control that makes ready: held and let go */
    uint32_t held_at;    /* its position */
    uint32_t stop;
};

static struct hand_act act_of(const struct handwrite *w, struct move move)
{
    return (struct hand_act){
        .changes = {{move.control, w->stand.position[move.control],
                     move.to}},
        .n_changes = 1, .power = move.power, .seconds = HAND_USUAL_S,
        .machine = MODEL_NONE};
}

static const struct choice *choice_of(const struct ordering *o,
                                      uint32_t control)
{
    const struct model *model = o->turning->finder->logic->model;

    return &model->choices[model->controls[control].choice];
}

/* The moves, then the step that turns nothing on, and that step undone; false:
 * it is not so for sure, and nothing is written. */
static bool try_order(const struct ordering *o, struct handwrite *w,
                      const struct move *moves, uint32_t n)
{
    const struct turning *t = o->turning;
    struct handwrite_mark mark = handwrite_mark(w);
    const struct hand_act undo = handwrite_reverse(t->act);
    bool goes = true;

    for (uint32_t i = 0; i < n && goes; i++) {
        const struct hand_act act = act_of(w, moves[i]);

        goes = handwrite_try(t->finder, w, &act) &&
               handturn_all(t, w->expected, handturn_is_off);
    }
    if (goes && handwrite_try(t->finder, w, t->act) &&
        handturn_all(t, w->expected, handturn_is_off) &&
        handwrite_try(t->finder, w, &undo))
        return true;
    handwrite_take_back(t->finder, w, &mark);
    return false;
}

/* Both orders, and then the right one, after which it works again. */
static bool write_orders(const struct ordering *o)
{
    struct finder *f = o->turning->finder;
    uint32_t out = choice_of(o, o->stop)->rest,
             loose = choice_of(o, o->ready)->rest;
    const struct move press_stop = {.control = o->stop, .to = 1 - out},
                      let_out = {.control = o->stop, .to = out},
                      hold = {.control = o->ready, .to = o->held_at},
                      let_go = {.control = o->ready, .to = loose};
    const struct move latched[] = {press_stop, let_out};
    const struct move held[] = {hold, press_stop, let_out, let_go};
    const struct move early[] = {press_stop, hold, let_out, let_go};
    struct handwrite w = {0};
    struct handwrite_mark mark;
    bool any = false;

    handwrite_way(f, &w, o->turning->from);
    mark = handwrite_mark(&w);
    if (try_order(o, &w, latched, 2)) {
        handwrite_take_back(f, &w, &mark);
        any = try_order(o, &w, held, 4);
        any = try_order(o, &w, early, 4) || any;
    }
    if (any && handturn_again(o->turning, &w) &&
        handturn_works(o->turning, &w)) {
        handwrite_try(f, &w, o->turning->act);
        handwrite_finish(f, &w);
        return true;
    }
    handwrite_drop(&w);
    return false;
}

/* Behind a stop, what makes ready is held while power returns: that must not
 * count as pressing it. */
static void write_return(const struct ordering *o)
{
    struct finder *f = o->turning->finder;
    uint32_t out = choice_of(o, o->stop)->rest;
    const struct move moves[] = {{o->stop, 1 - out, false},
                                 {o->stop, out, false},
                                 {o->ready, o->held_at, true},
                                 {o->ready, choice_of(o, o->ready)->rest,
                                  false}};
    struct handwrite w = {0};

    handwrite_way(f, &w, o->turning->from);
    if (try_order(o, &w, moves, 4)) {
        handwrite_finish(f, &w);
        return;
    }
    handwrite_drop(&w);
}

/* With the first stop that latches. */
static bool try_stops(struct ordering *o)
{
    const struct finder *f = o->turning->finder;
    const struct model *model = f->logic->model;

    for (o->stop = 0; o->stop < model->n_controls; o->stop++)
        if (model->controls[o->stop].kind == SIGNAL_STOP &&
            o->stop != o->ready &&
            !handturn_moves(o->turning->act, o->stop) &&
            steer_end(f->search.steer) == EXPLORE_COMPLETE &&
            write_orders(o)) {
            write_return(o);
            return true;
        }
    return false;
}

/* Controls that the way holds and lets go again. */
static void try_way(const struct turning *t, bool *done)
{
    uint32_t n, root;
    const struct hand_act *way = handturn_way(t, &n, &root);

    for (uint32_t i = 0; i + 1 < n; i++) {
        const struct hand_change *c = &way[i].changes[0];
        struct ordering o = {.turning = t, .ready = c->control,
                             .held_at = c->to};
        const uint32_t *hands = t->finder->search.nodes.at[t->from]
                                    .stand.position;

        if (way[i].n_changes == 1 && !done[c->control] &&
            c->to != choice_of(&o, c->control)->rest &&
            hands[c->control] == choice_of(&o, c->control)->rest)
            done[c->control] = try_stops(&o);
    }
}

void handorder_write(struct finder *f)
{
    uint32_t n;
    const struct turning *list = handturn_list(f, &n);
    bool *done = arena_array(f->study->arena,
                             f->logic->model->n_controls + 1, sizeof *done);

    for (uint32_t i = 0; i < n; i++)
        try_way(&list[i], done);
}
