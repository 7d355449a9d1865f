#include "study/charting.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/answer.h"
#include "study/chartlist.h"
#include "study/dead_end.h"
#include "study/load.h"
#include "study/more.h"
#include "study/pathends.h"
#include "study/turned.h"

/* ---- what is evaluated with an input turned ---- */

/* One scan with an input turned. */
struct scan_of {
    const flat_expr *on; /* per output */
    flat_expr allowed;   /* by assumptions, and without an error: as far as
                            the turn changes that */
};

/* Conditions being made. */
struct making {
    struct charting *charting;
    struct chart *chart;
    struct flat_builder *b;
    struct arena *arena;    /* of the conditions alone */
    flat_expr *on, *before; /* per output */
    VEC(struct flat_watch) watches;
    VEC(struct flat_cell) cells;
};

static flat_expr both(struct making *m, flat_expr a, flat_expr b)
{
    return flat_binary(m->b, FLAT_AND, a, b);
}

static flat_expr either(struct making *m, flat_expr a, flat_expr b)
{
    return flat_binary(m->b, FLAT_OR, a, b);
}

static flat_expr no(struct making *m, flat_expr a)
{
    return flat_not(m->b, a);
}

static flat_expr is(struct making *m, flat_expr a, int64_t value)
{
    return flat_binary(m->b, FLAT_EQ, a, flat_const(m->b, value));
}

static flat_expr choice_leaf(struct making *m, uint32_t row)
{
    const struct flat_choice *choice =
        &m->charting->study.lowered->flat->choices[row];
    int64_t low = choice->values[0], high = choice->values[0];

    for (uint32_t i = 1; i < choice->count; i++) {
        low = choice->values[i] < low ? choice->values[i] : low;
        high = choice->values[i] > high ? choice->values[i] : high;
    }
    return flat_leaf(m->b, FLAT_CHOICE, row, low, high);
}

/* ---- outputs ---- */

static flat_expr on_when(struct making *m, const struct chart_output *output,
                         flat_expr value)
{
    flat_expr same = is(m, value, output->value);

    return output->other ? no(m, same) : same;
}

/* As it stood at the judging before, off before the first. */
static flat_expr new_cell(struct making *m, flat_expr on)
{
    uint32_t number = m->charting->study.lowered->flat->n_cells +
                      (uint32_t)m->cells.n;

    vec_push(&m->cells, ((struct flat_cell){
        .name = "output before", .kind = PLACE_KINDS, .low = 0, .high = 1,
        .unit = 1, .initial = flat_const(m->b, 0), .next = on}));
    return flat_leaf(m->b, FLAT_CELL, number, 0, 1);
}

/* An actuator that never changes is not stored. */
static flat_expr actuator_before(struct making *m, uint32_t output)
{
    const struct chart_output *of = &m->chart->outputs[output];
    uint32_t slot = m->chart->model->actuators[of->of.actuator].slot;
    const struct flat *flat = m->charting->study.lowered->flat;

    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (flat->cells[i].kind == PLACE_SLOT && flat->cells[i].index == slot)
            return on_when(m, of, flat_leaf(m->b, FLAT_CELL, i,
                                            flat->cells[i].low,
                                            flat->cells[i].high));
    return new_cell(m, m->on[output]);
}

static flat_expr output_on(struct making *m, const struct chart_output *output)
{
    const struct lowered *lowered = m->charting->study.lowered;
    const struct model *model = m->chart->model;

    if (output->of.actuator != MODEL_NONE)
        return on_when(
            m, output,
            lowered->slot_value[model->actuators[output->of.actuator].slot]);
    return both(m, no(m, *lowered->dark),
                on_when(m, output, lowered->slot_value[output->of.slot]));
}

/* With sensors that can be turned; and, in m->on, as it is. */
static flat_expr *make_outputs(struct making *m)
{
    uint32_t n = m->chart->n_outputs;
    flat_expr *raw = arena_array(m->arena, (size_t)n + 1, sizeof *raw);

    m->on = arena_array(m->arena, (size_t)n + 1, sizeof *m->on);
    m->before = arena_array(m->arena, (size_t)n + 1, sizeof *m->before);
    for (uint32_t i = 0; i < n; i++)
        m->on[i] = raw[i] = output_on(m, &m->chart->outputs[i]);
    turned_expressions(&m->charting->study, NULL, m->on, n);
    for (uint32_t i = 0; i < n; i++)
        m->before[i] = m->chart->outputs[i].of.actuator != MODEL_NONE
                           ? actuator_before(m, i) : new_cell(m, m->on[i]);
    return raw;
}

/* ---- a scan that is turned ---- */

static uint32_t n_limits(const struct charting *charting)
{
    return (uint32_t)charting->study.ends.n +
           charting->study.lowered->flat->n_assumptions;
}

/* Outputs on; then the errors at which paths end; then assumptions. */
static flat_expr *all_of(const struct making *m, const flat_expr *on)
{
    const struct study *study = &m->charting->study;
    const struct flat *flat = study->lowered->flat;
    uint32_t n = m->chart->n_outputs;
    flat_expr *all = arena_array(m->arena,
                                 (size_t)n + n_limits(m->charting) + 1,
                                 sizeof *all);

    if (n > 0)
        memcpy(all, on, n * sizeof *all);
    for (size_t i = 0; i < study->ends.n; i++)
        all[n++] = flat->watches[study->ends.at[i]].condition;
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        all[n++] = flat->assumptions[i].condition;
    return all;
}

/* What holds of the scan as it is need not be asked again. */
static flat_expr allowed(struct making *m, const flat_expr *was,
                         const flat_expr *is)
{
    uint32_t n_ends = (uint32_t)m->charting->study.ends.n;
    flat_expr all = flat_const(m->b, 1);

    for (uint32_t i = 0; i < n_limits(m->charting); i++)
        if (was[i] != is[i])
            all = both(m, all, i < n_ends ? no(m, is[i]) : is[i]);
    return all;
}

static struct scan_of scan_of(struct making *m, const struct turn *turn,
                              const flat_expr *raw)
{
    uint32_t n = m->chart->n_outputs, all = n + n_limits(m->charting);
    flat_expr *was = all_of(m, raw), *turned = all_of(m, raw);

    turned_expressions(&m->charting->study, NULL, was, all);
    turned_expressions(&m->charting->study, turn, turned, all);
    return (struct scan_of){turned, allowed(m, was + n, turned + n)};
}

/* ---- watches ---- */

static uint32_t add_watch(struct making *m, uint32_t cell, enum chart_act act,
                          flat_expr condition)
{
    const struct flat_node *node = flat_node(m->b, condition);

    if (node->op == FLAT_CONST && node->value == 0)
        return FLAT_NONE;
    vec_push(&m->watches, ((struct flat_watch){
        WATCH_ACT, cell, act, condition}));
    return m->charting->study.lowered->flat->n_watches +
           (uint32_t)m->watches.n - 1;
}

/* One cell: when the input stands so, on with it, and whether a scan without
 * it is on, or off. */
struct held_against {
    flat_expr stands;      /* of the scan as it is */
    flat_expr turned_stands; /* where a turn counts */
    flat_expr with;
    flat_expr without_on, without_off;
};

static void watch_cell(struct making *m, uint32_t cell, uint32_t output,
                       const struct held_against *h)
{
    uint32_t *watch = &m->charting->watch[(size_t)cell * CHART_ACTS];
    flat_expr before = m->before[output], on = m->on[output];
    flat_expr gains = both(m, h->turned_stands,
                           both(m, h->with, h->without_off));
    flat_expr loses = both(m, h->turned_stands,
                           both(m, no(m, h->with), h->without_on));

    watch[CHART_TURNS_ON] =
        add_watch(m, cell, CHART_TURNS_ON, both(m, gains, no(m, before)));
    watch[CHART_KEEPS_ON] =
        add_watch(m, cell, CHART_KEEPS_ON, both(m, gains, before));
    watch[CHART_TURNS_OFF] =
        add_watch(m, cell, CHART_TURNS_OFF, both(m, loses, before));
    watch[CHART_KEEPS_OFF] =
        add_watch(m, cell, CHART_KEEPS_OFF, both(m, loses, no(m, before)));
    watch[CHART_ON_WITH] =
        add_watch(m, cell, CHART_ON_WITH, both(m, h->stands, on));
    watch[CHART_ON_WITHOUT] = add_watch(m, cell, CHART_ON_WITHOUT,
                                        both(m, no(m, h->stands), on));
}

static bool is_other(const struct chart_input *input, uint32_t value,
                     uint32_t rest)
{
    return input->position == CHART_OTHER ? value == rest
                                          : value != input->position;
}

/* The scan as it is has the input in that position. */
static void watch_row(struct making *m, uint32_t number,
                      const struct scan_of *scans)
{
    const struct chart_input *input = &m->chart->inputs[number];
    const struct choice *choice = &m->chart->model->choices[input->row];
    flat_expr leaf = choice_leaf(m, input->row);
    bool other = input->position == CHART_OTHER;
    flat_expr stands = is(m, leaf, choice->values[other ? choice->rest
                                                        : input->position]);

    for (uint32_t o = 0; o < m->chart->n_outputs; o++) {
        flat_expr none = flat_const(m->b, 0);
        struct held_against h = {.stands = other ? no(m, stands) : stands,
                                 .with = m->on[o], .without_on = none,
                                 .without_off = none};

        h.turned_stands = h.stands;
        for (uint32_t q = 0; q < choice->count; q++) {
            if (!is_other(input, q, choice->rest))
                continue;
            h.without_on = either(m, h.without_on,
                                  both(m, scans[q].allowed, scans[q].on[o]));
            h.without_off =
                either(m, h.without_off,
                       both(m, scans[q].allowed, no(m, scans[q].on[o])));
        }
        watch_cell(m, number * m->chart->n_outputs + o, o, &h);
    }
}

/* One of both scans is the one as it is; the other one has to be allowed. */
static void watch_sensor(struct making *m, uint32_t number,
                         const struct scan_of *scans)
{
    uint32_t sensor = m->chart->inputs[number].of;
    flat_expr sees = m->charting->study.lowered->sensor[sensor];
    flat_expr may = both(m, scans[0].allowed, scans[1].allowed);

    turned_expressions(&m->charting->study, NULL, &sees, 1);
    for (uint32_t o = 0; o < m->chart->n_outputs; o++) {
        const struct held_against h = {
            .stands = sees, .turned_stands = may, .with = scans[1].on[o],
            .without_on = scans[0].on[o],
            .without_off = no(m, scans[0].on[o])};

        watch_cell(m, number * m->chart->n_outputs + o, o, &h);
    }
}

static void watch_inputs(struct making *m, const flat_expr *raw)
{
    struct chart *chart = m->chart;
    struct scan_of *scans = NULL;
    uint32_t last = MODEL_NONE;

    for (uint32_t i = 0; i < chart->n_inputs; i++) {
        const struct chart_input *input = &chart->inputs[i];
        bool sensor = input->kind == CHART_SENSOR;
        uint32_t n = sensor ? 2 : chart->model->choices[input->row].count;

        if (sensor || input->row != last) {
            scans = arena_array(m->arena, n, sizeof *scans);
            for (uint32_t q = 0; q < n; q++) {
                const struct turn turn = {
                    sensor, sensor ? input->of : input->row, q};

                if (sensor || input->position != CHART_OTHER ||
                    q == chart->model->choices[input->row].rest)
                    scans[q] = scan_of(m, &turn, raw);
            }
        }
        last = input->row;
        if (sensor)
            watch_sensor(m, i, scans);
        else
            watch_row(m, i, scans);
    }
}

/* A scan that ends in an error has no judging. */
static void leave_out_errors(struct making *m)
{
    const struct study *study = &m->charting->study;
    flat_expr none = flat_const(m->b, 1);

    for (size_t i = 0; i < study->ends.n; i++) {
        flat_expr error =
            study->lowered->flat->watches[study->ends.at[i]].condition;

        turned_expressions(study, NULL, &error, 1);
        none = both(m, none, no(m, error));
    }
    for (size_t i = 0; i < m->watches.n; i++)
        m->watches.at[i].condition =
            both(m, m->watches.at[i].condition, none);
}

static void make_watches(struct charting *charting)
{
    struct chart *chart = &charting->chart;
    struct making m = {.charting = charting, .chart = chart,
                       .b = charting->study.lowered->builder,
                       .arena = arena_new()};
    size_t n = chart->n_outputs;
    const flat_expr *raw = make_outputs(&m);

    charting->watch = arena_array(
        charting->study.arena, (chart->n_inputs * n + 1) * CHART_ACTS,
        sizeof *charting->watch);
    watch_inputs(&m, raw);
    leave_out_errors(&m);
    const struct study_more more = {m.watches.at, (uint32_t)m.watches.n,
                                     m.cells.at, (uint32_t)m.cells.n};
    turned_close(&charting->study, &more);
    vec_release(&m.watches);
    vec_release(&m.cells);
    arena_free(m.arena);
}

/* ---- opening ---- */

static bool make_ready(struct charting *charting, struct loaded *loaded)
{
    struct study *study = &charting->study;
    struct chart *chart = &charting->chart;
    struct path_ends ends;

    if (!path_ends_find(&ends, loaded, charting->asked->setting,
                        charting->asked->faults) ||
        !study_open(study, loaded->arena, loaded->model,
                    charting->asked->setting, loaded->diags))
        return false;
    study->most_faults = charting->asked->faults;
    study->setting.alone = true;
    if (!turned_open(study, loaded->diags))
        return false;
    chart->errors = ends.n;
    chart->errors_open = ends.open;
    chart->internal_error = ends.internal_error;
    path_ends_put(study, &ends);
    make_watches(charting);
    chart->machine = study->machine;
    return true;
}

const char *charting_open(struct charting *charting, struct loaded *loaded,
                          const struct charting_asked *asked)
{
    struct chart *chart = &charting->chart;
    const char *failure;

    memset(charting, 0, sizeof *charting);
    charting->asked = asked;
    chart->model = loaded->model;
    chart->faults = asked->faults;
    failure = chartlist_inputs(loaded->arena, chart, asked->input);
    if (failure == NULL)
        failure = chartlist_outputs(loaded->arena, chart, loaded,
                                    asked->output);
    if (failure != NULL)
        return failure;
    chart->cells = arena_array(loaded->arena,
                               (size_t)chart->n_inputs * chart->n_outputs + 1,
                               sizeof *chart->cells);
    return make_ready(charting, loaded) ? NULL : "";
}

void charting_close(struct charting *charting)
{
    if (charting->study.arena != NULL)
        study_close(&charting->study);
}

/* ---- asking ---- */

/* A column under way: watches that are open yet. */
struct column {
    struct charting *charting;
    struct dead_ends *ends;
    uint32_t *watches;
    enum chart_state **state;
    bool *until;
    uint32_t n;
};

static struct column column_of(struct charting *charting,
                               struct arena *arena, struct dead_ends *ends,
                               uint32_t output)
{
    struct chart *chart = &charting->chart;
    size_t most = (size_t)chart->n_inputs * CHART_ACTS + 1;
    struct column column = {
        charting, ends,
        arena_array(arena, most, sizeof *column.watches),
        arena_array(arena, most, sizeof *column.state),
        arena_array(arena, most, sizeof *column.until), 0};

    for (uint32_t i = 0; i < chart->n_inputs; i++) {
        size_t cell = (size_t)i * chart->n_outputs + output;

        for (uint32_t act = 0; act < CHART_ACTS; act++) {
            uint32_t watch = charting->watch[cell * CHART_ACTS + act];

            chart->cells[cell].act[act] = CHART_NEVER;
            if (watch == FLAT_NONE)
                continue;
            chart->cells[cell].act[act] = CHART_NOT_KNOWN;
            column.watches[column.n] = watch;
            column.until[column.n] = true;
            column.state[column.n++] = &chart->cells[cell].act[act];
        }
    }
    return column;
}

/* Settles what an answer shows: a run with any movement times only what
 * cannot be.  What stays open stays in the column. */
static void settle(struct column *column, const struct answer *answer,
                   bool exact)
{
    bool complete = answer_complete(answer);
    uint32_t n = 0;

    for (uint32_t i = 0; i < column->n; i++) {
        bool seen = answer_level(answer, column->watches[i]) != 0;

        if (seen && exact)
            *column->state[i] = CHART_SEEN;
        else if (!seen && complete)
            *column->state[i] = CHART_NEVER;
        else {
            column->watches[n] = column->watches[i];
            column->state[n++] = column->state[i];
        }
    }
    column->n = n;
}

/* Assumptions outside the column: a scan of it is one of the whole only where
 * they can always go on. */
static void note_outside(struct column *column, const struct answer *answer)
{
    struct chart *chart = &column->charting->chart;
    enum stop_reason stop = dead_ends_outside(
        column->ends, &column->charting->study, answer);

    if (stop == STOP_DEAD_END || stop == STOP_DEAD_END_LEANS)
        chart->dead_end = true;
    else if (stop != STOP_NONE)
        chart->stop = stop;
}

static void note(struct chart *chart, const struct answer *answer, bool exact)
{
    uint64_t situations = answer->reach->situations;
    enum stop_reason stop = answer_stop(answer);

    if (situations > chart->situations)
        chart->situations = situations;
    if (exact && answer_dead_end(answer))
        chart->dead_end = true;
    if (exact && stop != STOP_NONE)
        chart->stop = stop;
}

static void ask_column(struct column *column, bool free_times)
{
    struct charting *charting = column->charting;
    const struct question question = {
        .watches = column->watches,
        .n_watches = column->n,
        .faults = charting->asked->faults,
        .free_times = free_times,
        .until = column->until,
    };
    struct answer answer;
    bool exact;

    if (column->n == 0)
        return;
    exact = !free_times || !question_has_times(&charting->study, &question);
    answer_find(&charting->study, &question, &answer);
    note(&charting->chart, &answer, exact);
    settle(column, &answer, exact);
    if (exact) {
        note_outside(column, &answer);
        column->n = 0;
    }
    answer_release(&answer);
}

void charting_judge(struct charting *charting,
                    void (*progress)(uint32_t done, uint32_t all))
{
    struct chart *chart = &charting->chart;
    struct dead_ends ends = {.without_sequences = true};

    for (uint32_t i = 0; i < chart->n_outputs; i++) {
        struct arena *scratch = arena_new();
        struct column column = column_of(charting, scratch, &ends, i);

        ask_column(&column, true);
        ask_column(&column, false);
        arena_free(scratch);
        if (progress != NULL)
            progress(i + 1, chart->n_outputs);
    }
    dead_ends_release(&ends);
    if (chart->internal_error == NULL)
        chart->internal_error = charting->study.internal_error;
}
