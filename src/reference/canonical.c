#include "reference/canonical.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "reference/odometer.h"

/* A state that a shortest sequence passes after its i-th scan was first seen
 * at level i: were it seen earlier, the sequence could be shorter.  So one
 * pass backward over the levels gives every state its cheapest way to the
 * breach.  Then, forward:
 *
 *   1. scan by scan, the smallest counted choices among the cheapest ways;
 *      several states can stay in play, since choices that do not count may
 *      still lead apart;
 *   2. backward again over those that stayed, for the choices that do not
 *      count; and forward once more to write the sequence down.
 */

struct cost {
    uint64_t operators, faults, movements;
};

static const struct cost NEVER = {UINT64_MAX, UINT64_MAX, UINT64_MAX};

static int compare(struct cost a, struct cost b)
{
    if (a.operators != b.operators)
        return a.operators < b.operators ? -1 : 1;
    if (a.faults != b.faults)
        return a.faults < b.faults ? -1 : 1;
    if (a.movements != b.movements)
        return a.movements < b.movements ? -1 : 1;
    return 0;
}

static struct cost sum(struct cost a, struct cost b)
{
    if (compare(a, NEVER) == 0 || compare(b, NEVER) == 0)
        return NEVER;
    return (struct cost){a.operators + b.operators, a.faults + b.faults,
                         a.movements + b.movements};
}

/* START stands for "before the first scan" among the numbers of states. */
#define START STORE_NONE

/* One way through scan number `scan` that can end in the breach. */
struct way {
    uint32_t to; /* START after the last scan */
    struct cost counted, other;
};

struct search {
    const struct reached *reached;
    const struct model *model;
    struct odometer *odometer;
    uint32_t length;
    uint32_t *rows;        /* length of n_choices: what was chosen */
    struct cost *counted;  /* per state: cheapest way on; START: last */
    struct cost *other;
    uint32_t *layer;       /* per state: the scan after which it is in play,
                              0: not */
    VEC(uint32_t) in_play; /* states, layer after layer */
    VEC(uint32_t) begins;  /* where a layer begins in it */
};

static uint32_t *row_of(const struct search *search, uint32_t scan)
{
    return search->rows + (size_t)(scan - 1) * search->model->n_choices;
}

static struct cost *at(const struct search *search, struct cost *costs,
                       uint32_t state)
{
    uint32_t start = stock_count(search->reached->states);

    return &costs[state == START ? start : state];
}

/* ---- ways through one scan ---- */

static void begin(struct search *search, uint32_t from)
{
    const struct reached *reached = search->reached;

    odometer_begin(search->odometer, &reached->setting,
                   from == START ? NULL : stock_key(reached->states, from));
}

/* Where does the way that was just run lead?  FALSE: nowhere of use. */
static bool leads(struct search *search, uint32_t scan,
                  const struct step_result *result, uint32_t *to)
{
    const struct reached *reached = search->reached;

    *to = START;
    if (result->end != STEP_JUDGED)
        return false;
    if (scan == search->length)
        return reached_found(reached, result);
    reached_normalise(reached, search->odometer->after);
    *to = stock_find(reached->states, search->odometer->after);
    ENSURE(*to != STORE_NONE);
    return reached_at(reached, *to, scan);
}

/* The next way of use out of the state that began. */
static bool next(struct search *search, uint32_t scan, struct way *way)
{
    const struct step_result *r;

    while ((r = odometer_next(search->odometer))) {
        if (!leads(search, scan, r, &way->to))
            continue;
        way->counted = (struct cost){r->operator_cost, r->fault_cost,
                                     r->movement_cost};
        way->other =
            (struct cost){r->other_operator_cost, r->other_fault_cost,
                          r->other_movement_cost};
        return true;
    }
    return false;
}

/* Cost from a way on to the end; nothing after the last scan. */
static struct cost onward(const struct search *search, uint32_t scan,
                          struct cost *costs, const struct way *way)
{
    if (scan == search->length)
        return (struct cost){0, 0, 0};
    return *at(search, costs, way->to);
}

static bool is_cheapest(const struct search *search, uint32_t from,
                        uint32_t scan, const struct way *way)
{
    struct cost whole = sum(way->counted, onward(search, scan,
                                                 search->counted, way));

    return compare(whole, NEVER) != 0 &&
           compare(whole, *at(search, search->counted, from)) == 0;
}

/* ---- backward over the levels ---- */

static void price(struct search *search, uint32_t from, uint32_t scan)
{
    struct cost best = NEVER;
    struct way way;

    begin(search, from);
    while (next(search, scan, &way)) {
        struct cost whole = sum(way.counted, onward(search, scan,
                                                    search->counted, &way));

        if (compare(whole, best) < 0)
            best = whole;
    }
    *at(search, search->counted, from) = best;
}

static void price_all(struct search *search)
{
    const uint32_t *first = search->reached->first.at;

    for (uint32_t scan = search->length; scan > 1; scan--)
        for (uint32_t s = first[scan - 2]; s < first[scan - 1]; s++)
            price(search, s, scan);
    price(search, START, 1);
    ENSURE(compare(*at(search, search->counted, START), NEVER) != 0);
}

/* ---- forward: the counted choices ---- */

static bool counts(const struct search *search, uint32_t row)
{
    const bool *counted = search->reached->setting.counted;

    return !counted || counted[row];
}

/* Compares choices row by row: only those that count, or all. */
static int compare_rows(const struct search *search, const uint32_t *a,
                        const uint32_t *b, bool all)
{
    for (uint32_t i = 0; i < search->model->n_choices; i++) {
        const struct choice *choice = &search->model->choices[i];
        uint32_t ra = machine_rank(choice, a[i]);
        uint32_t rb = machine_rank(choice, b[i]);

        if ((all || counts(search, i)) && ra != rb)
            return ra < rb ? -1 : 1;
    }
    return 0;
}

static void take_row(struct search *search, uint32_t scan)
{
    memcpy(row_of(search, scan), search->odometer->choices,
           search->model->n_choices * sizeof(uint32_t));
}

/* Smallest counted choices of a scan among the states in play. */
static void choose(struct search *search, uint32_t scan)
{
    bool any = false;
    struct way way;

    for (size_t i = search->begins.at[scan - 1]; i < search->in_play.n; i++) {
        uint32_t from = search->in_play.at[i];

        begin(search, from);
        while (next(search, scan, &way)) {
            if (!is_cheapest(search, from, scan, &way))
                continue;
            if (!any || compare_rows(search, search->odometer->choices,
                                     row_of(search, scan), false) < 0)
                take_row(search, scan);
            any = true;
        }
    }
    ENSURE(any);
}

/* May this way still be the one: cheapest, and chosen where it counts? */
static bool is_chosen(const struct search *search, uint32_t from,
                      uint32_t scan, const struct way *way)
{
    return is_cheapest(search, from, scan, way) &&
           compare_rows(search, search->odometer->choices,
                        row_of(search, scan), false) == 0;
}

static void follow(struct search *search, uint32_t scan)
{
    size_t end = search->in_play.n;
    struct way way;

    for (size_t i = search->begins.at[scan - 1]; i < end; i++) {
        uint32_t from = search->in_play.at[i];

        begin(search, from);
        while (next(search, scan, &way)) {
            if (way.to == START || !is_chosen(search, from, scan, &way) ||
                search->layer[way.to] == scan)
                continue;
            search->layer[way.to] = scan;
            vec_push(&search->in_play, way.to);
        }
    }
    vec_push(&search->begins, (uint32_t)end);
}

static void choose_all(struct search *search)
{
    vec_push(&search->in_play, START);
    vec_push(&search->begins, 0);
    for (uint32_t scan = 1; scan <= search->length; scan++) {
        choose(search, scan);
        follow(search, scan);
    }
}

/* ---- the choices that do not count ---- */

static void price_other(struct search *search, uint32_t from, uint32_t scan)
{
    struct cost best = NEVER;
    struct way way;

    begin(search, from);
    while (next(search, scan, &way)) {
        struct cost whole;

        if (!is_chosen(search, from, scan, &way))
            continue;
        whole = sum(way.other, onward(search, scan, search->other, &way));
        if (compare(whole, best) < 0)
            best = whole;
    }
    *at(search, search->other, from) = best;
}

static void price_others(struct search *search)
{
    for (uint32_t scan = search->length; scan > 0; scan--)
        for (uint32_t i = search->begins.at[scan - 1];
             i < search->begins.at[scan]; i++)
            price_other(search, search->in_play.at[i], scan);
}

/* The smallest row out of `from` among those that stayed; where it leads. */
static uint32_t write_row(struct search *search, uint32_t from, uint32_t scan,
                          uint32_t *row)
{
    uint32_t to = START;
    bool any = false;
    struct way way;

    begin(search, from);
    while (next(search, scan, &way)) {
        if (!is_chosen(search, from, scan, &way) ||
            compare(sum(way.other, onward(search, scan, search->other, &way)),
                    *at(search, search->other, from)) != 0)
            continue;
        if (any && compare_rows(search, search->odometer->choices, row,
                                true) >= 0)
            continue;
        memcpy(row, search->odometer->choices,
               search->model->n_choices * sizeof *row);
        to = way.to;
        any = true;
    }
    ENSURE(any);
    return to;
}

static void write_all(struct search *search, uint32_t *sequence)
{
    uint32_t from = START;

    for (uint32_t scan = 1; scan <= search->length; scan++)
        from = write_row(search, from, scan,
                         sequence +
                             (size_t)(scan - 1) * search->model->n_choices);
}

const uint32_t *canonical_sequence(struct arena *arena,
                                   const struct reached *reached,
                                   uint32_t length)
{
    const struct model *model = machine_model(reached->machine);
    size_t states = (size_t)stock_count(reached->states) + 1;
    size_t cells = (size_t)length * model->n_choices;
    uint32_t *sequence = arena_array(arena, cells, sizeof *sequence);
    struct arena *scratch = arena_new();
    struct search search = {
        .reached = reached,
        .model = model,
        .odometer = odometer_new(scratch, reached->machine),
        .length = length,
        .rows = arena_array(scratch, cells, sizeof(uint32_t)),
        .counted = arena_array(scratch, states, sizeof(struct cost)),
        .other = arena_array(scratch, states, sizeof(struct cost)),
        .layer = arena_array(scratch, states, sizeof(uint32_t)),
    };

    ENSURE(length > 0);
    price_all(&search);
    choose_all(&search);
    price_others(&search);
    write_all(&search, sequence);
    vec_release(&search.in_play);
    vec_release(&search.begins);
    arena_free(scratch);
    return sequence;
}
