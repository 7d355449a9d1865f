/* The stop map, held against enumeration by the reference interpreter.
 *
 * The judge walks all situations of a random machine whose buttons are made
 * stops, and every scan out of each of them.  It shares nothing with the
 * logic and its engines; each of them must find the same: whether an actuator
 * can be on, and the programs ask for it, while a stop is pressed; which parts
 * move behind such a judging; what is so whenever the actuator is on, and that
 * no control can be left out of those of which one is needed; how long what
 * moved goes on once the stop is pressed.
 *
 * What is off by the wiring alone is held against the same walk over another
 * control text, in which every command is an input of its own that nothing
 * describes: it takes any value in every scan. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "reference/odometer.h"
#include "reference/replay.h"
#include "study/load.h"
#include "study/stopmapping.h"
#include "study/study.h"
#include "tests/support/random_review.h"
#include "tests/support/random_wiring.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 20, WANTED = 10 };
#else
enum { SEEDS = 120, WANTED = 80 };
#endif

enum { WIRINGS = 60, MOST_EDGES = 20000 };
enum { MOST_STATES = 300, MOST_WAYS = 200000, MOST_WORDS = 512, MOST = 32 };

/* ---- the judge ---- */

struct judge {
    const struct stopmap *map;
    const struct model *model;
    struct machine *machine;
    struct odometer *ways;
    uint32_t words, n, ways_used;
    int64_t *states;
    bool *column_was; /* per state and column: it may have been so there */
    bool *on;         /* per line and column; behind them per line alone */
    bool *moves;      /* per line, column and movement, one more for others */
    struct edge *edges;
    uint32_t n_edges;
    bool wrong, too_large;
};

/* A scan from one state to another; of the columns those that may be so in
 * it, and those that may not. */
struct edge {
    uint32_t from, to; /* from MODEL_NONE: the first scan */
    uint32_t columns, others;
};

/* One scan. */
struct scan {
    const int64_t *before, *after; /* before NULL: the first */
    const uint32_t *choices;
    const bool *read;
};

static uint32_t cell_of(const struct judge *j, uint32_t line, uint32_t column)
{
    return line * j->map->n_columns + column;
}

/* A row that is not read may stand anyhow. */
static bool may_stand(const struct scan *scan, uint32_t row, uint32_t value)
{
    return !scan->read[row] || scan->choices[row] == value;
}

static bool may_stand_other(const struct scan *scan, uint32_t row,
                            uint32_t value)
{
    return !scan->read[row] || scan->choices[row] != value;
}

static uint32_t row_of(const struct judge *j, uint32_t control)
{
    return j->model->controls[control].choice;
}

static bool column_is(const struct judge *j, const struct scan *scan,
                      uint32_t column)
{
    const struct stopmap_column *of = &j->map->columns[column];

    if (of->kind != STOPMAP_EVERY)
        return may_stand(scan, row_of(j, of->of), 1);
    for (uint32_t i = 0; i < j->map->n_stops; i++)
        if (!may_stand(scan, row_of(j, j->map->columns[i].of), 1))
            return false;
    return true;
}

static int64_t slot_value(const struct judge *j, const int64_t *state,
                          uint32_t slot)
{
    return machine_place(j->machine, state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

static bool actuator_on(const struct judge *j, const int64_t *state,
                        uint32_t actuator)
{
    uint32_t slot = j->model->actuators[actuator].slot;

    return slot_value(j, state, slot) != j->model->slots[slot].initial;
}

/* Is it possible that it is not so? */
static bool column_is_not(const struct judge *j, const struct scan *scan,
                          uint32_t column)
{
    const struct stopmap_column *of = &j->map->columns[column];

    if (of->kind != STOPMAP_EVERY)
        return may_stand(scan, row_of(j, of->of), 0);
    for (uint32_t i = 0; i < j->map->n_stops; i++)
        if (may_stand(scan, row_of(j, j->map->columns[i].of), 0))
            return true;
    return false;
}

static void keep_edge(struct judge *j, const struct scan *scan, uint32_t from,
                      uint32_t to)
{
    struct edge edge = {.from = from, .to = to};

    for (uint32_t c = 0; c < j->map->n_columns; c++) {
        edge.columns |= (uint32_t)column_is(j, scan, c) << c;
        edge.others |= (uint32_t)column_is_not(j, scan, c) << c;
    }
    for (uint32_t i = 0; i < j->n_edges; i++)
        if (memcmp(&j->edges[i], &edge, sizeof edge) == 0)
            return;
    j->too_large |= j->n_edges == MOST_EDGES;
    if (!j->too_large)
        j->edges[j->n_edges++] = edge;
}

/* ---- needs ---- */

static bool sensor_is(const struct judge *j, const struct step_result *step,
                      uint32_t sensor, uint32_t value)
{
    (void)j;
    return (step->sensor[sensor] != 0) == (value != 0);
}

/* Every need holds in this scan, whatever it does not read. */
static void check_needs(struct judge *j, const struct scan *scan,
                        const struct step_result *step,
                        const struct stopmap_cell *cell)
{
    for (uint32_t i = 0; i < cell->n_needs; i++) {
        const struct stopmap_need *need = &cell->needs[i];
        bool good = need->sensor
                        ? sensor_is(j, step, need->of, need->value)
                    : need->other ? !may_stand(scan, need->of, need->value)
                                  : !may_stand_other(scan, need->of,
                                                     need->value);

        if (!good) {
            print_message("a need does not hold\n");
            j->wrong = true;
        }
    }
}

static bool all_rest(const struct judge *j, const struct scan *scan,
                     const struct stopmap_cell *cell, uint32_t but)
{
    for (uint32_t i = 0; i < cell->n_hands; i++)
        if (i != but &&
            !may_stand(scan, cell->hands[i],
                       j->model->choices[cell->hands[i]].rest))
            return false;
    return true;
}

static void check_hands(struct judge *j, const struct scan *scan,
                        const struct stopmap_cell *cell)
{
    if (cell->n_hands > 0 && all_rest(j, scan, cell, MODEL_NONE)) {
        print_message("it is on with every hand off\n");
        j->wrong = true;
    }
}

/* ---- one scan ---- */

static void look_at_actuator(struct judge *j, uint32_t line,
                             const struct scan *scan,
                             const struct step_result *step)
{
    uint32_t actuator = j->map->lines[line].of;

    if (!actuator_on(j, scan->after, actuator))
        return;
    for (uint32_t c = 0; c < j->map->n_columns; c++) {
        if (!column_is(j, scan, c))
            continue;
        j->on[cell_of(j, line, c)] = true;
        check_needs(j, scan, step, stopmap_cell(j->map, line, c));
        check_hands(j, scan, stopmap_cell(j->map, line, c));
    }
}

static void note_move(struct judge *j, uint32_t line, const struct scan *scan,
                      uint32_t column)
{
    const struct stopmap_line *of = &j->map->lines[line];
    int64_t from = slot_value(j, scan->before, of->of);
    int64_t to = slot_value(j, scan->after, of->of);
    bool *moves = &j->moves[cell_of(j, line, column) * MOST], named = false;

    if (from == to)
        return;
    j->on[cell_of(j, line, column)] = true;
    for (uint32_t i = 0; i < of->n_movements; i++) {
        const struct movement *m = &j->model->movements[of->movements[i]];

        if (m->from == from && m->to == to)
            moves[i] = named = true;
    }
    moves[of->n_movements] |= !named;
}

static void look_at(struct judge *j, const struct scan *scan,
                    const struct step_result *step, const bool *column_was)
{
    for (uint32_t i = 0; i < j->map->n_lines; i++) {
        if (!j->map->lines[i].part)
            look_at_actuator(j, i, scan, step);
        for (uint32_t c = 0; j->map->lines[i].part && scan->before != NULL &&
                             c < j->map->n_columns; c++)
            if (column_was[c])
                note_move(j, i, scan, c);
    }
}

/* Number of a state, kept where it is new. */
static uint32_t keep(struct judge *j, const int64_t *state)
{
    for (uint32_t i = 0; i < j->n; i++)
        if (memcmp(j->states + (size_t)i * j->words, state,
                   j->words * sizeof *state) == 0)
            return i;
    if (j->n == MOST_STATES) {
        j->too_large = true;
        return 0;
    }
    memcpy(j->states + (size_t)j->n * j->words, state,
           j->words * sizeof *state);
    return j->n++;
}

static void step_all(struct judge *j, uint32_t from)
{
    const struct step_setting setting = {.fault_limit = j->map->faults,
                                         .whole = true};
    const struct step_result *step;
    int64_t before[MOST_WORDS];
    const int64_t *at = from == MODEL_NONE ? NULL : before;

    if (at != NULL)
        memcpy(before, j->states + (size_t)from * j->words,
               j->words * sizeof *before);
    odometer_begin(j->ways, &setting, at);
    while ((step = odometer_next(j->ways)) != NULL && !j->too_large) {
        const struct scan scan = {at, j->ways->after, j->ways->choices,
                                  machine_read_rows(j->machine)};
        uint32_t to;

        j->too_large |= ++j->ways_used > MOST_WAYS;
        if (step->end != STEP_JUDGED)
            continue;
        look_at(j, &scan, step,
                at == NULL ? NULL
                           : j->column_was + from * j->map->n_columns);
        to = keep(j, j->ways->after);
        keep_edge(j, &scan, from, to);
        for (uint32_t c = 0; c < j->map->n_columns; c++)
            j->column_was[to * j->map->n_columns + c] |=
                column_is(j, &scan, c);
    }
}

/* Twice: what was so at a judging may be known of a state only later. */
static bool judge(struct judge *j, struct arena *arena,
                  const struct stopmap *map)
{
    size_t cells = (size_t)map->n_lines * map->n_columns + 1;

    *j = (struct judge){.map = map, .model = map->model};
    j->machine = machine_new(arena, j->model);
    j->ways = odometer_new(arena, j->machine);
    j->words = machine_words(j->machine);
    if (j->words > MOST_WORDS)
        return false;
    j->states = arena_array(arena, (size_t)MOST_STATES * j->words,
                            sizeof *j->states);
    j->column_was = arena_array(arena,
                                (size_t)MOST_STATES * map->n_columns + 1,
                                sizeof(bool));
    j->edges = arena_array(arena, MOST_EDGES, sizeof *j->edges);
    j->on = arena_array(arena, cells, sizeof(bool));
    j->moves = arena_array(arena, cells * MOST, sizeof(bool));
    for (int round = 0; round < 2; round++) {
        step_all(j, MODEL_NONE);
        for (uint32_t i = 0; i < j->n && !j->too_large; i++)
            step_all(j, i);
    }
    return !j->too_large;
}

/* ---- no need is left out, no hand too many ---- */

struct hunt {
    struct judge *j;
    const struct stopmap_cell *cell;
    uint32_t line, column, row, value, but;
    bool hands, found;
};

static void hunt_in(struct hunt *h, const struct scan *scan)
{
    if (!actuator_on(h->j, scan->after, h->j->map->lines[h->line].of) ||
        !column_is(h->j, scan, h->column))
        return;
    h->found |= h->hands ? all_rest(h->j, scan, h->cell, h->but)
                         : may_stand_other(scan, h->row, h->value);
}

static bool is_there(struct hunt *h)
{
    struct judge *j = h->j;
    const struct step_setting setting = {.fault_limit = j->map->faults,
                                         .whole = true};

    h->found = false;
    for (uint32_t i = 0; i <= j->n && !h->found; i++) {
        const int64_t *from =
            i == j->n ? NULL : j->states + (size_t)i * j->words;
        const struct step_result *step;

        odometer_begin(j->ways, &setting, from);
        while (!h->found && (step = odometer_next(j->ways)) != NULL) {
            const struct scan scan = {from, j->ways->after, j->ways->choices,
                                      machine_read_rows(j->machine)};

            if (step->end == STEP_JUDGED)
                hunt_in(h, &scan);
        }
    }
    return h->found;
}

static bool is_claimed(const struct stopmap_cell *cell, uint32_t row,
                       uint32_t value)
{
    for (uint32_t i = 0; i < cell->n_needs; i++)
        if (!cell->needs[i].sensor && !cell->needs[i].other &&
            cell->needs[i].of == row && cell->needs[i].value == value)
            return true;
    return false;
}

struct tally {
    unsigned compared, stops, on, needs, hands, moves, still, faults, rescue;
    unsigned at_once, lasts, no_end;
};

/* Positions of other controls that are not claimed: each is left somewhere. */
static bool complete(struct judge *j, uint32_t line, uint32_t column)
{
    struct hunt h = {.j = j, .cell = stopmap_cell(j->map, line, column),
                     .line = line, .column = column};

    for (uint32_t i = 0; i < j->model->n_controls; i++) {
        h.row = row_of(j, i);
        if (j->model->controls[i].kind == SIGNAL_STOP ||
            (j->map->columns[column].kind == STOPMAP_RESCUE &&
             j->map->columns[column].of == i) ||
            j->model->choices[h.row].count > CHART_POSITIONS)
            continue;
        for (h.value = 0; h.value < j->model->choices[h.row].count; h.value++)
            if (!is_claimed(h.cell, h.row, h.value) && !is_there(&h)) {
                print_message("a need is missing\n");
                return false;
            }
    }
    h.hands = true;
    for (h.but = 0; h.but < h.cell->n_hands; h.but++)
        if (!is_there(&h)) {
            print_message("a hand is too many\n");
            return false;
        }
    return true;
}

/* ---- how long what moved goes on ---- */

static const int64_t *state_of(const struct judge *j, uint32_t number)
{
    return j->states + (size_t)number * j->words;
}

static bool on_at(const struct judge *j, uint32_t state, uint32_t actuator)
{
    return state != MODEL_NONE && actuator_on(j, state_of(j, state), actuator);
}

/* Did an actuator that drives it come on in this scan? */
static bool begins_anew(const struct judge *j, const struct stopmap_line *of,
                        const struct edge *edge)
{
    for (uint32_t i = 0; i < of->n_driven_by; i++)
        if (on_at(j, edge->to, of->driven_by[i]) &&
            !on_at(j, edge->from, of->driven_by[i]))
            return true;
    return false;
}

/* Does the scan, the column being so in it, go on with what moved? */
static bool goes_on(const struct judge *j, const struct stopmap_line *of,
                    const struct edge *edge)
{
    return of->part ? !begins_anew(j, of, edge)
                    : on_at(j, edge->to, of->of) &&
                          on_at(j, edge->from, of->of);
}

/* States from which on the column may be so for the first time. */
static void begin_walk(const struct judge *j, uint32_t column, bool *at,
                       bool *first)
{
    *first = true;
    for (uint32_t i = 0; i < j->n_edges; i++)
        if ((j->edges[i].others >> column & 1) != 0)
            at[j->edges[i].to] = true;
}

/* One scan more with the column; false: nothing goes on. */
static bool walk(const struct judge *j, const struct stopmap_line *of,
                 uint32_t column, bool *at, bool first)
{
    bool next[MOST_STATES] = {0}, any = false;

    for (uint32_t i = 0; i < j->n_edges; i++) {
        const struct edge *edge = &j->edges[i];

        if ((edge->from == MODEL_NONE ? first : at[edge->from]) &&
            (edge->columns >> column & 1) != 0 && goes_on(j, of, edge))
            any = next[edge->to] = true;
    }
    memcpy(at, next, sizeof next);
    return any;
}

static bool moves_from(const struct judge *j, const struct stopmap_line *of,
                       const bool *at)
{
    for (uint32_t i = 0; i < j->n_edges; i++) {
        const struct edge *edge = &j->edges[i];

        if (edge->from != MODEL_NONE && at[edge->from] &&
            slot_value(j, state_of(j, edge->from), of->of) !=
                slot_value(j, state_of(j, edge->to), of->of))
            return true;
    }
    return false;
}

static uint32_t lasting(const struct judge *j, uint32_t line, uint32_t column)
{
    const struct stopmap_line *of = &j->map->lines[line];
    bool at[MOST_STATES] = {0}, first;
    uint32_t longest = 0;

    begin_walk(j, column, at, &first);
    for (uint32_t n = 1; n <= STOPMAP_LONGEST; n++) {
        if (!walk(j, of, column, at, first))
            break;
        first = false;
        if (!of->part || moves_from(j, of, at))
            longest = n;
    }
    return longest;
}

/* ---- both held against each other ---- */

static bool same_moves(const struct judge *j, uint32_t line, uint32_t column,
                       struct tally *tally)
{
    const struct stopmap_cell *cell = stopmap_cell(j->map, line, column);

    for (uint32_t i = 0; i <= j->map->lines[line].n_movements; i++) {
        bool seen = j->moves[cell_of(j, line, column) * MOST + i];

        if (cell->moves[i] != (seen ? CHART_SEEN : CHART_NEVER)) {
            print_message("line %u, column %u, movement %u: %d\n",
                          (unsigned)line, (unsigned)column, (unsigned)i,
                          (int)cell->moves[i]);
            return false;
        }
        tally->moves += seen;
    }
    return true;
}

static bool same_lasting(const struct judge *j, uint32_t line,
                         uint32_t column, struct tally *tally)
{
    const struct stopmap_cell *cell = stopmap_cell(j->map, line, column);
    uint32_t longest = lasting(j, line, column);

    tally->at_once += longest == 0;
    tally->lasts += longest > 0 && longest < STOPMAP_LONGEST;
    tally->no_end += longest == STOPMAP_LONGEST;
    if (cell->lasting == longest &&
        cell->lasts == (longest == STOPMAP_LONGEST ? STOPMAP_LASTS_LONGER
                                                   : STOPMAP_LASTS))
        return true;
    print_message("line %u, column %u: it lasts %u, the map says %u (%d)\n",
                  (unsigned)line, (unsigned)column, (unsigned)longest,
                  (unsigned)cell->lasting, (int)cell->lasts);
    return false;
}

static bool same_cell(struct judge *j, uint32_t line, uint32_t column,
                      struct tally *tally)
{
    const struct stopmap_cell *cell = stopmap_cell(j->map, line, column);
    bool seen = j->on[cell_of(j, line, column)];
    bool part = j->map->lines[line].part;

    if (cell->on != (seen ? CHART_SEEN : CHART_NEVER)) {
        print_message("line %u, column %u: the judge %s it, the map says %d\n",
                      (unsigned)line, (unsigned)column,
                      seen ? "sees" : "never sees", (int)cell->on);
        return false;
    }
    if (part && !same_moves(j, line, column, tally))
        return false;
    if (seen && !same_lasting(j, line, column, tally))
        return false;
    tally->stops += stopmap_stops(j->map, line, column);
    tally->still += part && !seen;
    tally->on += seen && !part;
    tally->needs += cell->n_needs;
    tally->hands += cell->n_hands;
    tally->rescue += j->map->columns[column].kind == STOPMAP_RESCUE;
    return part || !seen || complete(j, line, column);
}

static bool same(struct judge *j, struct tally *tally)
{
    bool good = !j->wrong;

    for (uint32_t l = 0; l < j->map->n_lines; l++)
        for (uint32_t c = 0; c < j->map->n_columns; c++)
            good = good && same_cell(j, l, c, tally);
    return good;
}

static bool try_engine(struct loaded *loaded, enum engine engine,
                       uint32_t faults, struct tally *tally)
{
    const struct study_setting setting = {.engine = engine};
    const struct stopmapping_asked asked = {.setting = &setting,
                                            .faults = faults};
    const struct stopmap *map = stopmapping_make(loaded, &asked);
    struct arena *arena = arena_new();
    struct judge j;
    bool good = map == NULL || map->internal_error == NULL;

    if (!good)
        print_message("%s\n", map->internal_error);
    if (good && map != NULL && map->stop == STOP_NONE && !map->errors_open &&
        !map->dead_end && judge(&j, arena, map)) {
        good = same(&j, tally);
        tally->compared++;
        tally->faults += faults > 0;
    }
    arena_free(arena);
    return good;
}

/* The whole line of a control takes the place of another one. */
static void replace(struct text *review, const char *line, const char *by)
{
    char *at = strstr(text_str(review), line);
    struct text all = {0};

    assert_non_null(at);
    text_add_bytes(&all, review->at, (size_t)(at - review->at));
    text_add(&all, by);
    text_add(&all, at + strlen(line));
    text_release(review);
    *review = all;
}

/* One button or both become stops. */
static void make_stops(struct text *review, uint64_t seed)
{
    if (seed % 3 != 1)
        replace(review, "a : BUTTON 'button a';",
                "a : STOP 'stop a' CONTACTS CLOSING;");
    if (seed % 3 != 2)
        replace(review, "b : BUTTON 'button b'", "b : STOP 'stop b'");
}

static bool try_seed(uint64_t seed, struct tally *tally)
{
    struct text control = {0}, review = {0};
    struct random_parts parts = {.every = seed % 6 == 0};
    struct load_instead instead = {.path = "test.st"};
    struct load_request request = {.path = "test.st", .instead = &instead};
    struct loaded *loaded;
    bool good = true;

    random_review(seed, &control, &review, &parts);
    make_stops(&review, seed);
    instead.text = text_str(&control);
    instead.n = control.n;
    request.review = text_str(&review);
    loaded = load_run(&request);
    if (loaded->model != NULL)
        for (uint32_t faults = 0; faults <= (loaded->model->n_causes > 0);
             faults++)
            good = good &&
                   try_engine(loaded, seed % 2 == 0 ? ENGINE_SETS
                                                    : ENGINE_TILES,
                              faults, tally);
    if (!good)
        print_message("seed %u\n%s\n---\n%s\n", (unsigned)seed,
                      text_str(&control), text_str(&review));
    loaded_free(loaded);
    text_release(&control);
    text_release(&review);
    return good;
}

static void test_random(void **unused)
{
    struct tally t = {0};

    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        assert_true(try_seed(seed, &t));
    print_message("%u maps compared, %u with faults: %u cells stop, %u can be "
                  "on with %u needs and %u hands, %u moves, %u stand still; "
                  "%u of rescue; %u end at once, %u last, %u without end\n",
                  t.compared, t.faults, t.stops, t.on, t.needs, t.hands,
                  t.moves, t.still, t.rescue, t.at_once, t.lasts, t.no_end);
    assert_true(t.compared >= WANTED);
    assert_true(t.stops > 0 && t.on > 0 && t.needs > 0 && t.moves > 0);
    assert_true(t.still > 0 && t.faults > 0);
    assert_true(t.at_once > 0 && t.lasts > 0 && t.no_end > 0);
}

/* ---- by the wiring alone ---- */

static struct loaded *load_wired(const struct text *review,
                                 const char *control)
{
    const struct load_instead instead = {"test.st", control, strlen(control)};
    const struct load_request request = {
        .path = "test.st", .review = text_str(review), .instead = &instead};
    struct loaded *loaded = load_run(&request);

    assert_non_null(loaded->model);
    return loaded;
}

static void compare_wired(uint64_t seed, uint32_t faults, unsigned *off,
                          unsigned *on)
{
    struct text review = {0};
    struct loaded *asked_of, *freed;
    const struct study_setting setting = {
        .engine = seed % 4 < 2 ? ENGINE_SETS : ENGINE_TILES};
    const struct stopmapping_asked asked = {.setting = &setting,
                                            .faults = faults};
    const struct stopmap *map;
    struct stopmap of;
    struct arena *arena = arena_new();
    struct judge j;

    random_wiring(seed, &review);
    asked_of = load_wired(&review, random_wiring_control(false));
    freed = load_wired(&review, random_wiring_control(true));
    map = stopmapping_make(asked_of, &asked);
    assert_non_null(map);
    assert_null(map->internal_error);
    of = *map; /* lines and columns are the same, the inputs are not */
    of.model = freed->model;
    of.n_columns = 1;
    of.cells = arena_array(arena, (size_t)map->n_lines + 1, sizeof *of.cells);
    assert_true(judge(&j, arena, &of));
    for (uint32_t l = 0; l < map->n_lines; l++) {
        enum chart_state wired = stopmap_cell(map, l, 0)->wired;
        bool seen = j.on[cell_of(&j, l, 0)];

        if (wired != (seen ? CHART_SEEN : CHART_NEVER))
            fail_msg("seed %u, %u faults, motor %u: %d, and the walk %s it\n%s",
                     (unsigned)seed, (unsigned)faults, (unsigned)l + 1,
                     (int)wired, seen ? "sees" : "never sees",
                     text_str(&review));
        *off += !seen;
        *on += seen;
    }
    arena_free(arena);
    loaded_free(asked_of);
    loaded_free(freed);
    text_release(&review);
}

static void test_wired(void **unused)
{
    unsigned off = 0, on = 0;

    (void)unused;
    for (uint64_t seed = 1; seed <= WIRINGS; seed++)
        for (uint32_t faults = 0; faults <= 1; faults++)
            compare_wired(seed, faults, &off, &on);
    print_message("%u motors off by the wiring alone, %u not\n", off, on);
    assert_true(off > 20 && on > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
        cmocka_unit_test(test_wired),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
