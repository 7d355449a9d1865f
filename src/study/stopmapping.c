#include "study/stopmapping.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "source/diag.h"
#include "study/load.h"
#include "study/pathends.h"
#include "study/seenings.h"
#include "study/stoplasting.h"
#include "study/stoplines.h"
#include "study/stopneeds.h"
#include "study/stopshown.h"

/* A map being made; `wired` is its study without the programs. */
struct making {
    struct stopmap *map;
    struct study study, loose;
    struct seenings seen, wired;
    struct stopmap_cell *cells;
    enum chart_state **moves; /* per cell of a part */
    flat_expr *before; /* per column: a cell that says whether it was so */
    flat_expr *motion; /* per cell: what the cell says is seen */
    flat_expr *moved;  /* per line that is a part: it changed */
    const struct stopmapping_asked *asked;
};

static struct flat_builder *builder(const struct seenings *s)
{
    return s->study->lowered->builder;
}

/* Is it so in this scan? */
static flat_expr column_now(const struct making *m, const struct seenings *s,
                            const struct stopmap_column *column)
{
    const struct lowered *lowered = s->study->lowered;
    flat_expr all = flat_const(builder(s), 1);

    if (column->kind != STOPMAP_EVERY)
        return lowered->hand[column->of];
    for (uint32_t i = 0; i < m->map->n_stops; i++)
        all = flat_binary(builder(s), FLAT_AND, all,
                          lowered->hand[m->map->columns[i].of]);
    return all;
}

static flat_expr differs(const struct seenings *s, flat_expr value,
                         int64_t from)
{
    struct flat_builder *b = builder(s);

    return flat_not(b, flat_binary(b, FLAT_EQ, value, flat_const(b, from)));
}

/* Off is what it is before the first scan. */
static flat_expr actuator_on(const struct making *m, const struct seenings *s,
                             uint32_t actuator)
{
    uint32_t slot = m->map->model->actuators[actuator].slot;

    return differs(s, s->study->lowered->slot_value[slot],
                   m->map->model->slots[slot].initial);
}

static flat_expr actuator_commanded(const struct making *m, uint32_t actuator)
{
    uint32_t slot = m->map->model->actuators[actuator].slot;

    return differs(&m->seen, m->study.lowered->command[actuator],
                   m->map->model->slots[slot].initial);
}

static flat_expr with(const struct seenings *s, flat_expr a, flat_expr b)
{
    return flat_binary(builder(s), FLAT_AND, a, b);
}

/* ---- what is asked of an actuator ---- */

static void put_actuator(struct making *m, uint32_t line, uint32_t first)
{
    struct stopmap_line *of = &m->map->lines[line];
    flat_expr on = actuator_on(m, &m->seen, of->of);
    flat_expr commanded = actuator_commanded(m, of->of);

    if (first == 0)
        seenings_put(&m->seen, line, on, &of->occurs);
    for (uint32_t c = first; c < m->map->n_columns; c++) {
        const struct stopmap_column *column = &m->map->columns[c];
        struct stopmap_cell *cell = &m->cells[line * m->map->n_columns + c];
        flat_expr now = column_now(m, &m->seen, column);

        m->motion[line * m->map->n_columns + c] = with(&m->seen, now, on);
        seenings_put(&m->seen, line, with(&m->seen, now, on), &cell->on);
        seenings_put(&m->seen, line, with(&m->seen, now, commanded),
                     &cell->commanded);
        cell->wired = CHART_NOT_KNOWN;
        if (m->wired.study != NULL)
            seenings_put(&m->wired, line,
                         with(&m->wired, column_now(m, &m->wired, column),
                              actuator_on(m, &m->wired, of->of)),
                         &cell->wired);
    }
}

/* ---- what is asked of a part ---- */

/* Its value at the judging before, FLAT_NONE where it never changes. */
static flat_expr part_before(const struct making *m, uint32_t slot)
{
    const struct flat *flat = m->study.lowered->flat;

    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (flat->cells[i].kind == PLACE_SLOT && flat->cells[i].index == slot)
            return flat_leaf(builder(&m->seen), FLAT_CELL, i,
                             flat->cells[i].low, flat->cells[i].high);
    return FLAT_NONE;
}

static flat_expr moves_so(const struct making *m, flat_expr before,
                          uint32_t movement)
{
    const struct movement *of = &m->map->model->movements[movement];
    struct flat_builder *b = builder(&m->seen);

    return with(&m->seen,
                flat_binary(b, FLAT_EQ, before, flat_const(b, of->from)),
                flat_binary(b, FLAT_EQ,
                            m->study.lowered->slot_value[of->slot],
                            flat_const(b, of->to)));
}

static void put_part(struct making *m, uint32_t line, uint32_t first)
{
    struct stopmap_line *of = &m->map->lines[line];
    flat_expr before = part_before(m, of->of), none, moved;

    none = flat_const(builder(&m->seen), 0);
    moved = before == FLAT_NONE
                ? none
                : flat_not(builder(&m->seen),
                           flat_binary(builder(&m->seen), FLAT_EQ, before,
                                       m->study.lowered->slot_value[of->of]));
    m->moved[line] = moved;
    if (first == 0)
        seenings_put(&m->seen, line, moved, &of->occurs);
    for (uint32_t c = first; c < m->map->n_columns; c++) {
        size_t number = (size_t)line * m->map->n_columns + c;
        enum chart_state *moves = arena_array(
            m->study.arena, (size_t)of->n_movements + 1, sizeof *moves);
        flat_expr other = moved;

        m->motion[number] = with(&m->seen, m->before[c], moved);
        for (uint32_t i = 0; i < of->n_movements; i++) {
            flat_expr so = before == FLAT_NONE
                               ? none : moves_so(m, before, of->movements[i]);

            other = with(&m->seen, other, flat_not(builder(&m->seen), so));
            seenings_put(&m->seen, line, with(&m->seen, m->before[c], so),
                         &moves[i]);
        }
        seenings_put(&m->seen, line, with(&m->seen, m->before[c], other),
                     &moves[of->n_movements]);
        m->moves[number] = moves;
    }
}

/* A part moves where one of its changes is seen. */
static void sum_up(struct making *m, uint32_t line, uint32_t column)
{
    const struct stopmap_line *of = &m->map->lines[line];
    size_t number = (size_t)line * m->map->n_columns + column;
    struct stopmap_cell *cell = &m->cells[number];

    cell->moves = m->moves[number];
    cell->on = cell->commanded = cell->wired = CHART_NEVER;
    for (uint32_t i = 0; i <= of->n_movements; i++)
        if (cell->moves[i] == CHART_SEEN)
            cell->on = CHART_SEEN;
        else if (cell->moves[i] == CHART_NOT_KNOWN && cell->on != CHART_SEEN)
            cell->on = CHART_NOT_KNOWN;
}

/* ---- columns ---- */

/* Whether it was so at the judging before is remembered for the parts. */
static void remember(struct making *m, uint32_t column)
{
    uint32_t number = m->study.lowered->flat->n_cells +
                      (uint32_t)m->seen.cells.n;

    vec_push(&m->seen.cells, ((struct flat_cell){
        .name = "a stop before", .kind = PLACE_KINDS, .low = 0, .high = 1,
        .unit = 1, .initial = flat_const(builder(&m->seen), 0),
        .next = column_now(m, &m->seen, &m->map->columns[column])}));
    m->before[column] = flat_leaf(builder(&m->seen), FLAT_CELL, number, 0, 1);
}

static void ask_columns(struct making *m, uint32_t first)
{
    struct stopmap *map = m->map;

    for (uint32_t c = first; c < map->n_columns; c++) {
        struct stopmap_column *column = &map->columns[c];

        remember(m, c);
        seenings_put(&m->seen, MODEL_NONE, column_now(m, &m->seen, column),
                     &column->occurs);
    }
    for (uint32_t i = 0; i < map->n_lines; i++)
        if (map->lines[i].part)
            put_part(m, i, first);
        else
            put_actuator(m, i, first);
    seenings_ask(&m->seen, m->asked->progress);
    if (m->wired.study != NULL)
        seenings_ask(&m->wired, NULL);
    for (uint32_t i = 0; i < map->n_lines; i++)
        for (uint32_t c = first; map->lines[i].part && c < map->n_columns; c++)
            sum_up(m, i, c);
}

/* Under which conditions an actuator that can be on is on. */
static void ask_needs(struct making *m, uint32_t first)
{
    struct stopneeds needs = {.seen = &m->seen, .map = m->map};

    for (uint32_t i = 0; i < m->map->n_lines; i++)
        for (uint32_t c = first; c < m->map->n_columns; c++) {
            const struct stopmap_line *line = &m->map->lines[i];
            struct stopmap_cell *cell = &m->cells[i * m->map->n_columns + c];

            if (!line->part && cell->on == CHART_SEEN)
                stopneeds_put(&needs, (struct stopneeds_of){
                    i, &m->map->columns[c], cell,
                    with(&m->seen,
                         column_now(m, &m->seen, &m->map->columns[c]),
                         actuator_on(m, &m->seen, line->of))});
        }
    stopneeds_ask(&needs);
}

/* ---- how long what moved goes on ---- */

static struct stoplasting_of lasting_of(struct making *m, uint32_t i,
                                        uint32_t c)
{
    const struct stopmap_line *line = &m->map->lines[i];
    uint32_t number = i * m->map->n_columns + c;
    flat_expr *drivers = arena_array(m->study.arena,
                                     (size_t)line->n_driven_by + 1,
                                     sizeof *drivers);

    for (uint32_t d = 0; d < line->n_driven_by; d++)
        drivers[d] = actuator_on(m, &m->seen, line->driven_by[d]);
    return (struct stoplasting_of){
        .group = number, .cell = &m->cells[number],
        .column = column_now(m, &m->seen, &m->map->columns[c]),
        .moving = line->part ? m->moved[i] : actuator_on(m, &m->seen, line->of),
        .part = line->part, .drivers = drivers,
        .n_drivers = line->n_driven_by};
}

static void ask_lasting(struct making *m)
{
    struct stoplasting lasting = {.seen = &m->seen};

    for (uint32_t i = 0; i < m->map->n_lines; i++)
        for (uint32_t c = 0; c < m->map->n_columns; c++)
            if (m->cells[i * m->map->n_columns + c].on == CHART_SEEN)
                stoplasting_put(&lasting, lasting_of(m, i, c));
    stoplasting_ask(&lasting);
}

/* ---- rescue controls ---- */

static void mark_hands(const struct stopmap *map,
                       const struct stopmap_cell *cell, bool *rescue)
{
    for (uint32_t i = 0; i < cell->n_needs; i++) {
        const struct stopmap_need *need = &cell->needs[i];

        if (!need->sensor && !need->other &&
            map->model->choices[need->of].kind == CHOICE_OPERATOR &&
            need->value != map->model->choices[need->of].rest)
            rescue[map->model->choices[need->of].of] = true;
    }
    for (uint32_t i = 0; i < cell->n_hands; i++)
        rescue[map->model->choices[cell->hands[i]].of] = true;
}

/* What moves while every stop is pressed, moves only with these. */
static uint32_t find_rescue(const struct stopmap *map, bool *rescue)
{
    uint32_t column = map->n_stops > 1 ? map->n_stops : 0, n = 0;

    for (uint32_t i = 0; map->n_stops > 0 && i < map->n_lines; i++)
        if (!map->lines[i].part)
            mark_hands(map, stopmap_cell(map, i, column), rescue);
    for (uint32_t i = 0; i < map->model->n_controls; i++) {
        rescue[i] = rescue[i] &&
                    map->model->controls[i].kind == SIGNAL_BUTTON;
        n += rescue[i];
    }
    return n;
}

static flat_expr *widened(const struct making *m, const flat_expr *was,
                          uint32_t n)
{
    uint32_t had = m->map->n_columns, all = had + n;
    flat_expr *is = arena_array(m->study.arena,
                                (size_t)m->map->n_lines * all + 1, sizeof *is);

    for (uint32_t i = 0; was != NULL && i < m->map->n_lines; i++)
        for (uint32_t c = 0; c < had; c++)
            is[i * all + c] = was[i * had + c];
    return is;
}

/* Room for more columns; what is known keeps its place in its line. */
static void widen(struct making *m, uint32_t n)
{
    struct stopmap *map = m->map;
    struct arena *arena = m->study.arena;
    uint32_t all = map->n_columns + n;
    size_t most = (size_t)map->n_lines * all + 1;
    struct stopmap_cell *cells = arena_array(arena, most, sizeof *cells);

    for (uint32_t i = 0; i < map->n_lines; i++)
        for (uint32_t c = 0; m->cells != NULL && c < map->n_columns; c++)
            cells[i * all + c] = m->cells[i * map->n_columns + c];
    m->motion = widened(m, m->motion, n);
    m->moved = m->moved != NULL
                   ? m->moved
                   : arena_array(arena, (size_t)map->n_lines + 1,
                                 sizeof *m->moved);
    map->cells = m->cells = cells;
    m->moves = arena_array(arena, most, sizeof *m->moves);
    m->before = arena_array(arena, (size_t)all + 1, sizeof *m->before);
    map->n_columns = all;
}

static void add_rescue(struct making *m)
{
    struct stopmap *map = m->map;
    struct arena *arena = m->study.arena;
    bool *rescue = arena_array(arena, (size_t)map->model->n_controls + 1,
                               sizeof *rescue);
    uint32_t n = find_rescue(map, rescue), first = map->n_columns;
    struct stopmap_column *columns =
        arena_array(arena, (size_t)first + n + 1, sizeof *columns);

    if (n == 0)
        return;
    memcpy(columns, map->columns, first * sizeof *columns);
    map->columns = columns;
    widen(m, n);
    n = first;
    for (uint32_t i = 0; i < map->model->n_controls; i++)
        if (rescue[i])
            columns[n++] = (struct stopmap_column){STOPMAP_RESCUE, i,
                                                   CHART_NOT_KNOWN};
    ask_columns(m, first);
    ask_needs(m, first);
}

/* ---- the whole ---- */

/* Without the programs, where that can be made. */
static void open_loose(struct making *m)
{
    struct diags *diags = diags_new(m->study.arena);
    struct lowered *lowered =
        lower_free(m->study.arena, m->study.model, LOWER_COMMANDED_FREE,
                   m->study.lowered, diags);

    diags_free(diags);
    if (lowered == NULL)
        return;
    m->loose = m->study;
    m->loose.lowered = lowered;
    memset(&m->loose.ends, 0, sizeof m->loose.ends);
    m->loose.memo = NULL;
    m->loose.share = NULL;
    m->loose.errors_judged = false;
    m->wired.study = &m->loose;
    m->wired.rough = true;
}

static void conclude(struct making *m)
{
    struct stopmap *map = m->map;

    map->situations = m->seen.situations;
    map->dead_end = m->seen.dead_end;
    map->stop = m->seen.stop;
    if (map->internal_error == NULL)
        map->internal_error = m->study.internal_error;
    if (map->internal_error == NULL && m->wired.study != NULL)
        map->internal_error = m->loose.internal_error;
}

static void make(struct making *m)
{
    m->seen.study = &m->study;
    m->seen.faults = m->wired.faults = m->asked->faults;
    stoplines_columns(&m->study, m->map);
    stoplines_list(&m->study, m->map);
    open_loose(m);
    widen(m, 0);
    ask_columns(m, 0);
    ask_needs(m, 0);
    add_rescue(m);
    ask_lasting(m);
    if (m->asked->sequences)
        stopshown_find(&m->seen, m->map, m->cells, m->motion);
    conclude(m);
    seenings_release(&m->seen);
    seenings_release(&m->wired);
    if (m->wired.study != NULL)
        lowered_free(m->loose.lowered);
}

const struct stopmap *stopmapping_make(struct loaded *loaded,
                                       const struct stopmapping_asked *asked)
{
    struct stopmap *map = ARENA_NEW(loaded->arena, struct stopmap);
    struct making m = {.map = map, .asked = asked};
    struct path_ends ends;

    map->model = loaded->model;
    map->faults = asked->faults;
    if (!path_ends_find(&ends, loaded, asked->setting, asked->faults) ||
        !study_open(&m.study, loaded->arena, loaded->model, asked->setting,
                    loaded->diags))
        return NULL;
    map->errors = ends.n;
    map->errors_open = ends.open;
    map->internal_error = ends.internal_error;
    m.study.most_faults = asked->faults;
    m.study.setting.alone = true;
    path_ends_put(&m.study, &ends);
    map->machine = m.study.machine;
    make(&m);
    study_close(&m.study);
    return map;
}
