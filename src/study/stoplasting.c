#include "study/stoplasting.h"

#include "base/arena.h"
#include "check/model.h"

static struct flat_builder *builder(const struct stoplasting *lasting)
{
    return lasting->seen->study->lowered->builder;
}

void stoplasting_put(struct stoplasting *lasting, struct stoplasting_of of)
{
    of.cell->lasts = STOPMAP_LASTS_NOT_KNOWN;
    of.cell->lasting = 0;
    vec_push(&lasting->of, of);
}

/* A cell to be taken in; its leaf, and where its next value goes. */
static flat_expr add_cell(struct stoplasting *lasting, int64_t high,
                          size_t *at)
{
    struct flat_builder *b = builder(lasting);
    uint32_t number = lasting->seen->study->lowered->flat->n_cells +
                      (uint32_t)lasting->seen->cells.n;

    *at = lasting->seen->cells.n;
    vec_push(&lasting->seen->cells, ((struct flat_cell){
        .name = "since a stop", .kind = PLACE_KINDS, .low = 0, .high = high,
        .unit = 1, .initial = flat_const(b, 0), .next = flat_const(b, 0)}));
    return flat_leaf(b, FLAT_CELL, number, 0, high);
}

static void set_next(struct stoplasting *lasting, size_t at, flat_expr next)
{
    lasting->seen->cells.at[at].next = next;
}

/* One more, up to `most`. */
static flat_expr counted(struct flat_builder *b, flat_expr age, int64_t most)
{
    flat_expr top = flat_binary(b, FLAT_LE, flat_const(b, most), age);

    return flat_ite(b, top, flat_const(b, most),
                    flat_binary(b, FLAT_ADD, age, flat_const(b, 1)));
}

static flat_expr at_least(struct flat_builder *b, flat_expr age, int64_t least)
{
    return flat_binary(b, FLAT_LE, flat_const(b, least), age);
}

/* ---- actuators ---- */

/* 0: off, or it came on while pressed; 1: on, and not pressed; n + 1: on, and
 * pressed for n judgings.  What it is now; holds for so many judgings. */
static flat_expr actuator_age(struct stoplasting *lasting,
                              const struct stoplasting_of *of, int64_t most)
{
    struct flat_builder *b = builder(lasting);
    size_t at;
    flat_expr age = add_cell(lasting, most + 1, &at), next;

    next = flat_ite(b, at_least(b, age, 1), counted(b, age, most + 1),
                    flat_const(b, 0));
    next = flat_ite(b, of->column, next, flat_const(b, 1));
    next = flat_ite(b, of->moving, next, flat_const(b, 0));
    set_next(lasting, at, next);
    return next;
}

/* ---- parts ---- */

/* Did one of its drivers come on at this judging? */
static flat_expr begins(struct stoplasting *lasting,
                        const struct stoplasting_of *of)
{
    struct flat_builder *b = builder(lasting);
    flat_expr any = flat_const(b, 0);

    for (uint32_t i = 0; i < of->n_drivers; i++) {
        size_t at;
        flat_expr was = add_cell(lasting, 1, &at);

        set_next(lasting, at, of->drivers[i]);
        any = flat_binary(b, FLAT_OR, any,
                          flat_binary(b, FLAT_AND, of->drivers[i],
                                      flat_not(b, was)));
    }
    return any;
}

/* Judgings for which it was pressed, at the judging before; most + 1: a driver
 * came on since.  What it was then. */
static flat_expr part_age(struct stoplasting *lasting,
                          const struct stoplasting_of *of, int64_t most)
{
    struct flat_builder *b = builder(lasting);
    size_t at;
    flat_expr age = add_cell(lasting, most + 1, &at), next, anew;

    anew = flat_binary(b, FLAT_OR, begins(lasting, of),
                       at_least(b, age, most + 1));
    next = flat_ite(b, anew, flat_const(b, most + 1), counted(b, age, most));
    set_next(lasting, at, flat_ite(b, of->column, next, flat_const(b, 0)));
    return age;
}

static flat_expr moves_at(struct stoplasting *lasting,
                          const struct stoplasting_of *of, flat_expr age,
                          int64_t most, int64_t step)
{
    struct flat_builder *b = builder(lasting);
    flat_expr since = flat_binary(b, FLAT_AND, at_least(b, age, step),
                                  flat_not(b, at_least(b, age, most + 1)));

    return flat_binary(b, FLAT_AND, of->moving, since);
}

/* ---- rounds ---- */

/* What is asked of one cell in a round: whether it lasts from most / 2 + 1 up
 * to `most` judgings. */
struct asked {
    bool over;
    enum chart_state state[STOPMAP_LONGEST / 2];
};

static void put(struct stoplasting *lasting, const struct stoplasting_of *of,
                struct asked *asked, uint32_t most)
{
    flat_expr age = of->part ? part_age(lasting, of, most)
                             : actuator_age(lasting, of, most);
    struct flat_builder *b = builder(lasting);

    for (uint32_t n = most / 2 + 1; n <= most; n++)
        seenings_put(lasting->seen, of->group,
                     of->part ? moves_at(lasting, of, age, most, n)
                              : at_least(b, age, (int64_t)n + 1),
                     &asked->state[n - most / 2 - 1]);
}

/* The largest that is seen counts; what lasts to the end goes on. */
static void settle(struct stopmap_cell *cell, struct asked *asked,
                   uint32_t most)
{
    bool open = false;

    for (uint32_t n = most / 2 + 1; n <= most; n++) {
        enum chart_state state = asked->state[n - most / 2 - 1];

        if (state == CHART_SEEN)
            cell->lasting = n;
        open |= state == CHART_NOT_KNOWN;
    }
    asked->over = open || cell->lasting < most || most == STOPMAP_LONGEST;
    if (asked->over)
        cell->lasts = open ? STOPMAP_LASTS_NOT_KNOWN
                      : cell->lasting == STOPMAP_LONGEST
                          ? STOPMAP_LASTS_LONGER
                          : STOPMAP_LASTS;
}

void stoplasting_ask(struct stoplasting *lasting)
{
    struct asked *asked = arena_array(lasting->seen->study->arena,
                                      lasting->of.n + 1, sizeof *asked);

    for (uint32_t most = 1; most <= STOPMAP_LONGEST; most *= 2) {
        for (size_t i = 0; i < lasting->of.n; i++)
            if (!asked[i].over)
                put(lasting, &lasting->of.at[i], &asked[i], most);
        seenings_ask(lasting->seen, NULL);
        for (size_t i = 0; i < lasting->of.n; i++)
            if (!asked[i].over)
                settle(lasting->of.at[i].cell, &asked[i], most);
    }
    vec_release(&lasting->of);
}
