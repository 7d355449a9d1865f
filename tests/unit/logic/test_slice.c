/* Slices of a small hand-made machine, looked at from outside: what belongs
 * to them, and what they do when they are run. */
#include "logic/slice.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"
#include "logic/build.h"
#include "tests/support/plain_faults.h"

enum {
    FAULTS = 3,
    CELL_Q = FAULTS, CELL_LAST, CELL_IDLE, CELL_PRESET, CELL_DELAYED,
    CELL_AGE, CELL_GATE, CELL_WAITED, CELLS,
    POWER = FAULTS, PRESS_A, PRESS_B, PRESS_C, MOVE, SPARE, CHOICES,
    HOLE_NUMBER_FIRST = 0, HOLE_NUMBER_FAULT = 1,
    HOLE_NUMBER_MAY = 1 + FAULTS, HOLE_NUMBER_MUST, HOLES,
    WATCHES = 6, ASSUMPTIONS = 5
};

static const int64_t two[] = {0, 1};
static const enum flat_hole hole_kind[HOLES] = {
    HOLE_FIRST, HOLE_FAULT, HOLE_FAULT, HOLE_FAULT, HOLE_MAY, HOLE_MUST};
static const uint32_t hole_index[HOLES] = {0, 0, 1, 2, 0, 0};

struct machine {
    struct arena *arena;
    struct flat_builder *m;
    struct flat flat;
    struct flat_cell cells[CELLS];
    struct flat_choice choices[CHOICES];
    struct flat_watch watches[WATCHES];
    struct flat_assumption assumptions[ASSUMPTIONS];
    struct flat_motion motion;
    flat_expr may, must;
};

static flat_expr cell(struct machine *w, uint32_t i)
{
    return flat_leaf(w->m, FLAT_CELL, i, w->cells[i].low, w->cells[i].high);
}

static flat_expr choice(struct machine *w, uint32_t i)
{
    return flat_leaf(w->m, FLAT_CHOICE, i, 0, 1);
}

static flat_expr hole(struct machine *w, uint32_t i)
{
    return flat_leaf(w->m, FLAT_HOLE, i, 0, 1);
}

static flat_expr both(struct machine *w, flat_expr a, flat_expr b)
{
    return flat_binary(w->m, FLAT_AND, a, b);
}

static flat_expr either(struct machine *w, flat_expr a, flat_expr b)
{
    return flat_binary(w->m, FLAT_OR, a, b);
}

static void make_choices(struct machine *w)
{
    static const struct { enum flat_kind kind; const char *name; } row[] = {
        {FLAT_FAULT, "F1"},    {FLAT_FAULT, "F2"},   {FLAT_FAULT, "F3"},
        {FLAT_POWER, "power"}, {FLAT_OPERATOR, "a"}, {FLAT_OPERATOR, "b"},
        {FLAT_OPERATOR, "c"},  {FLAT_MACHINE, "m"},  {FLAT_INPUT, "spare"}};

    for (uint32_t i = 0; i < CHOICES; i++)
        w->choices[i] = (struct flat_choice){row[i].kind, 2, two, 0,
                                             row[i].name, i};
}

static void declare_cell(struct machine *w, uint32_t i, const char *name,
                         int64_t high, int64_t initial)
{
    w->cells[i] = (struct flat_cell){
        name, 0, i, 0, high, high > 1 ? 100 : 1,
        flat_const(w->m, initial), FLAT_NONE};
}

static void make_cells(struct machine *w)
{
    static const char *const fault[FAULTS] = {"F1", "F2", "F3"};

    for (uint32_t i = 0; i < FAULTS; i++)
        declare_cell(w, i, fault[i], 1, 0);
    declare_cell(w, CELL_Q, "q", 1, 0);
    declare_cell(w, CELL_LAST, "last", 1, 0);
    declare_cell(w, CELL_IDLE, "idle", 1, 0);
    declare_cell(w, CELL_PRESET, "preset", 5000, 500);
    declare_cell(w, CELL_DELAYED, "delayed", 5000, 0);
    declare_cell(w, CELL_AGE, "age", 5000, 0);
    declare_cell(w, CELL_GATE, "gate", 1, 0);
    declare_cell(w, CELL_WAITED, "waited", 1000, 0);
}

/* preset keeps itself, delayed is preset one scan later and so no other
 * value after the first judging; age saturates at 1000. */
static void make_clocks(struct machine *w)
{
    flat_expr top = flat_const(w->m, 1000);
    flat_expr grown = flat_binary(w->m, FLAT_ADD, cell(w, CELL_AGE),
                                  flat_const(w->m, 100));

    grown = flat_ite(w->m, flat_binary(w->m, FLAT_LT, top, grown), top,
                     grown);
    w->cells[CELL_PRESET].next = cell(w, CELL_PRESET);
    w->cells[CELL_DELAYED].next = cell(w, CELL_PRESET);
    w->cells[CELL_AGE].next = flat_ite(w->m, choice(w, PRESS_C), grown,
                                       flat_const(w->m, 0));
    grown = flat_binary(w->m, FLAT_ADD, cell(w, CELL_WAITED),
                        flat_const(w->m, 100));
    w->cells[CELL_WAITED].next =
        flat_ite(w->m, flat_binary(w->m, FLAT_LE, top, grown), top, grown);
}

static void make_nexts(struct machine *w)
{
    flat_expr not_first = flat_not(w->m, hole(w, HOLE_NUMBER_FIRST));
    flat_expr moves = both(
        w, not_first,
        either(w, both(w, choice(w, MOVE), hole(w, HOLE_NUMBER_MAY)),
               hole(w, HOLE_NUMBER_MUST)));

    for (uint32_t i = 0; i < FAULTS; i++)
        w->cells[i].next = hole(w, HOLE_NUMBER_FAULT + i);
    w->cells[CELL_Q].next =
        either(w, both(w, cell(w, CELL_LAST),
                       flat_not(w->m, choice(w, PRESS_A))),
               hole(w, HOLE_NUMBER_FAULT));
    w->cells[CELL_LAST].next = choice(w, PRESS_A);
    w->cells[CELL_IDLE].next = either(w, cell(w, CELL_IDLE),
                                      choice(w, SPARE));
    w->cells[CELL_GATE].next = either(w, cell(w, CELL_GATE), moves);
    w->motion = (struct flat_motion){moves, MOVE};
    w->may = flat_binary(w->m, FLAT_LE, flat_const(w->m, 500),
                         cell(w, CELL_WAITED));
    w->must = flat_binary(w->m, FLAT_LE, flat_const(w->m, 1000),
                          cell(w, CELL_WAITED));
}

static void watch(struct machine *w, uint32_t i, flat_expr condition)
{
    w->watches[i] = (struct flat_watch){WATCH_BREACH, i, 0, condition};
}

static void make_watches(struct machine *w)
{
    flat_expr all = hole(w, HOLE_NUMBER_FAULT);

    for (uint32_t i = 1; i < FAULTS; i++)
        all = both(w, all, hole(w, HOLE_NUMBER_FAULT + i));
    watch(w, 0, cell(w, CELL_Q));
    watch(w, 1, all);
    watch(w, 2, flat_binary(w->m, FLAT_LT, cell(w, CELL_AGE),
                            cell(w, CELL_DELAYED)));
    watch(w, 3, both(w, cell(w, CELL_GATE), choice(w, POWER)));
    watch(w, 4, hole(w, HOLE_NUMBER_FAULT + 1));
    watch(w, 5, both(w, hole(w, HOLE_NUMBER_FIRST), choice(w, PRESS_B)));
}

/* 0 ties a to b, 1 ties b to c, 2 speaks of power and the spare input, 3 and
 * 4 share the idle cell. */
static void make_assumptions(struct machine *w)
{
    const flat_expr condition[ASSUMPTIONS] = {
        flat_not(w->m, both(w, choice(w, PRESS_A), choice(w, PRESS_B))),
        flat_not(w->m, both(w, choice(w, PRESS_B), choice(w, PRESS_C))),
        flat_not(w->m, both(w, choice(w, POWER), cell(w, CELL_GATE))),
        either(w, cell(w, CELL_IDLE), choice(w, SPARE)),
        either(w, flat_not(w->m, cell(w, CELL_IDLE)), choice(w, POWER))};

    for (uint32_t i = 0; i < ASSUMPTIONS; i++)
        w->assumptions[i].condition = condition[i];
}

static int begin(void **state)
{
    struct machine *w = calloc(1, sizeof *w);

    w->arena = arena_new();
    w->m = flat_builder_new(w->arena);
    make_choices(w);
    make_cells(w);
    make_clocks(w);
    make_nexts(w);
    make_watches(w);
    make_assumptions(w);
    w->flat = (struct flat){
        flat_nodes(w->m), flat_builder_count(w->m), w->choices, CHOICES,
        w->cells, CELLS, w->assumptions, ASSUMPTIONS, w->watches, WATCHES,
        &w->motion, 1, hole_kind, hole_index, HOLES, NULL, 0, NULL, 0,
        &w->may, &w->must, 1, NULL, 0};
    plain_faults(&w->flat, FAULTS);
    *state = w;
    return 0;
}

static int end(void **state)
{
    struct machine *w = *state;

    flat_builder_free(w->m);
    arena_free(w->arena);
    free(w);
    return 0;
}

/* A slice for one watch, all assumptions but those of the mask dropped. */
static const struct slice *slice_for(struct machine *w, uint32_t number,
                                     uint32_t faults, uint32_t keep)
{
    bool dropped[ASSUMPTIONS];
    struct slice_request request = {.watches = &number, .n_watches = 1,
                                    .faults = faults, .dropped = dropped};

    for (uint32_t i = 0; i < ASSUMPTIONS; i++)
        dropped[i] = !(keep >> i & 1);
    return slice_build(w->arena, w->m, &w->flat, &request);
}

static bool has_cell(const struct slice *slice, uint32_t number)
{
    for (uint32_t i = 0; i < slice->n_cells; i++)
        if (slice->cells[i].cell == number)
            return true;
    return false;
}

/* ---- what belongs to a slice ---- */

static void check_table(const struct slice *slice)
{
    for (uint32_t i = 0; i < slice->n_nodes; i++) {
        const struct flat_node *n = &slice->nodes[i];

        assert_true(n->op != FLAT_HOLE);
        if (n->op == FLAT_CELL)
            assert_int_equal(slice->cells[n->a].node, i);
        if (n->op == FLAT_CHOICE)
            assert_true(slice->used[n->a]);
        if (n->op <= FLAT_HOLE)
            continue;
        assert_true(n->a < i && (n->b == FLAT_NONE || n->b < i) &&
                    (n->c == FLAT_NONE || n->c < i));
    }
    for (uint32_t i = 1; i < slice->n_cells; i++)
        assert_true(slice->cells[i - 1].cell < slice->cells[i].cell);
}

static void reads_are_followed(void **state)
{
    const struct slice *slice = slice_for(*state, 0, 0, 0);

    check_table(slice);
    assert_int_equal(slice->n_cells, 2);
    assert_true(has_cell(slice, CELL_Q) && has_cell(slice, CELL_LAST));
    assert_true(slice->used[PRESS_A]);
    assert_false(slice->used[PRESS_B] || slice->used[0]);
    assert_int_equal(slice->n_watches, 1);
    assert_int_equal(slice->n_assumptions, 0);
    assert_int_equal(slice->n_motions, 0);
    assert_false(slice->has_times);
}

static void assumptions_are_tied_in(void **state)
{
    const struct slice *slice = slice_for(*state, 0, 0, 31);

    check_table(slice);
    assert_int_equal(slice->n_assumptions, 2);
    assert_int_equal(slice->assumptions[0].number, 0);
    assert_int_equal(slice->assumptions[1].number, 1);
    assert_true(slice->used[PRESS_C] && !slice->used[SPARE]);
    slice = slice_for(*state, 0, 0, 30);
    assert_int_equal(slice->n_assumptions, 0);
}

/* Watch 3 reads power, and so does assumption 4: that ties nothing.  The
 * cell of the gate does. */
static void power_ties_nothing(void **state)
{
    const struct slice *slice = slice_for(*state, 3, 0, 31);

    assert_int_equal(slice->n_assumptions, 1);
    assert_int_equal(slice->assumptions[0].number, 2);
    assert_false(has_cell(slice, CELL_IDLE));
}

static void motions_come_with_their_choice(void **state)
{
    const struct slice *slice = slice_for(*state, 3, 0, 0);

    check_table(slice);
    assert_int_equal(slice->n_motions, 1);
    assert_true(slice->has_times);
    assert_true(has_cell(slice, CELL_WAITED));
    assert_int_equal(slice->nodes[slice->motions[0].first].op, FLAT_CONST);
    assert_int_equal(slice->nodes[slice->motions[0].first].value, 0);
}

static void free_times_need_no_clocks(void **state)
{
    struct machine *w = *state;
    uint32_t number = 3;
    struct slice_request request = {.watches = &number, .n_watches = 1,
                                    .free_times = true};
    const struct slice *slice =
        slice_build(w->arena, w->m, &w->flat, &request);

    check_table(slice);
    assert_false(slice->has_times);
    assert_false(has_cell(slice, CELL_WAITED));
    assert_true(has_cell(slice, CELL_GATE) && slice->used[MOVE]);
}

static void cells_that_never_change_are_constants(void **state)
{
    const struct slice *slice = slice_for(*state, 2, 0, 0);

    check_table(slice);
    assert_int_equal(slice->n_cells, 1);
    assert_int_equal(slice->cells[0].cell, CELL_AGE);
    assert_int_equal(slice->cells[0].unit, 100);
    assert_int_equal(slice->cells[0].low, 0);
    assert_in_range(slice->cells[0].high, 1000, 5000);
    assert_int_equal(slice->nodes[slice->watches[0].first].value, 0);
}

static void the_first_form_reads_choices_only(void **state)
{
    const struct slice *slice = slice_for(*state, 5, 0, 0);

    assert_int_equal(slice->n_cells, 0);
    assert_int_equal(slice->nodes[slice->watches[0].first].op, FLAT_CHOICE);
    assert_int_equal(slice->nodes[slice->watches[0].next].op, FLAT_CONST);
    assert_true(slice->used[PRESS_B]);
}

static void ends_values_and_starting_assumptions(void **state)
{
    struct machine *w = *state;
    const uint32_t watches[] = {5}, ends[] = {0}, with[] = {3};
    const flat_expr values[] = {cell(w, CELL_AGE)};
    struct slice_request request = {
        .watches = watches, .n_watches = 1, .ends = ends, .n_ends = 1,
        .values = values, .n_values = 1,
        .with_assumptions = with, .n_with_assumptions = 1};
    const struct slice *slice =
        slice_build(w->arena, w->m, &w->flat, &request);

    check_table(slice);
    assert_int_equal(slice->n_ends, 1);
    assert_int_equal(slice->ends[0].number, 0);
    assert_int_equal(slice->n_values, 1);
    assert_true(has_cell(slice, CELL_Q) && has_cell(slice, CELL_AGE) &&
                has_cell(slice, CELL_IDLE));
    assert_int_equal(slice->n_assumptions, 4);
    assert_int_equal(slice->assumptions[2].number, 3);
    assert_int_equal(slice->assumptions[3].number, 4);
}

static void the_rest_is_grouped(void **state)
{
    struct machine *w = *state;
    uint32_t number = 0, group[ASSUMPTIONS];
    struct slice_request request = {.watches = &number, .n_watches = 1};
    const struct slice *slice =
        slice_build(w->arena, w->m, &w->flat, &request);

    assert_int_equal(slice_outside(w->m, &w->flat, slice, &request, group),
                     2);
    assert_int_equal(group[0], FLAT_NONE);
    assert_int_equal(group[1], FLAT_NONE);
    assert_int_equal(group[2], 0);
    assert_int_equal(group[3], 1);
    assert_int_equal(group[4], 1);
}

/* ---- running a slice whose cells are all bits ---- */

static void evaluate(const struct slice *slice, uint32_t cells,
                     uint32_t choices, int64_t *value)
{
    for (uint32_t i = 0; i < slice->n_nodes; i++) {
        const struct flat_node *n = &slice->nodes[i];

        if (n->op == FLAT_CONST)
            value[i] = n->value;
        else if (n->op == FLAT_CELL)
            value[i] = cells >> n->a & 1;
        else if (n->op == FLAT_CHOICE)
            value[i] = choices >> n->a & 1;
        else
            value[i] = flat_apply(
                n->op, value[n->a], n->b == FLAT_NONE ? 0 : value[n->b],
                n->c == FLAT_NONE ? 0 : value[n->c]);
    }
}

struct run {
    bool reached[1 << 8];
    uint32_t most; /* faults ever present together */
    bool seen;     /* the first watch held */
};

static uint32_t count_faults(const struct slice *slice, uint32_t cells)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++)
        n += slice->cells[i].cell < FAULTS && (cells >> i & 1);
    return n;
}

static void scan(const struct slice *slice, struct run *run, uint32_t from,
                 bool first)
{
    int64_t *value = calloc(slice->n_nodes + 1, sizeof *value);

    for (uint32_t choices = 0; choices < 1u << CHOICES; choices++) {
        uint32_t to = 0, n;

        evaluate(slice, from, choices, value);
        for (uint32_t i = 0; i < slice->n_cells; i++)
            to |= (uint32_t)value[first ? slice->cells[i].first
                                        : slice->cells[i].next] << i;
        run->reached[to] = true;
        run->seen = run->seen || value[first ? slice->watches[0].first
                                             : slice->watches[0].next];
        n = count_faults(slice, to);
        run->most = n > run->most ? n : run->most;
    }
    free(value);
}

static struct run run_slice(const struct slice *slice)
{
    struct run run = {{false}, 0, false};
    bool done[1 << 8] = {false};
    bool more = true;

    assert_true(slice->n_cells <= 8);
    scan(slice, &run, 0, true);
    while (more) {
        more = false;
        for (uint32_t s = 0; s < 1u << slice->n_cells; s++) {
            if (!run.reached[s] || done[s])
                continue;
            done[s] = more = true;
            scan(slice, &run, s, false);
        }
    }
    return run;
}

static void faults_are_counted(void **state)
{
    for (uint32_t n = 0; n <= FAULTS; n++) {
        const struct slice *slice = slice_for(*state, 1, n, 0);
        struct run run = run_slice(slice);

        check_table(slice);
        assert_int_equal(slice->faults, n);
        assert_int_equal(run.most, n);
        assert_int_equal(run.seen, n == FAULTS);
    }
}

/* One fault outside the slice takes no place inside it. */
static void only_faults_that_are_read_count(void **state)
{
    const struct slice *slice = slice_for(*state, 4, 1, 0);
    struct run run = run_slice(slice);

    assert_int_equal(slice->n_cells, 1);
    assert_true(slice->used[1] && !slice->used[0] && !slice->used[2]);
    assert_true(run.seen);
}

static void only_allowed_faults_appear(void **state)
{
    struct machine *w = *state;
    const bool allowed[FAULTS] = {true, false, true};
    uint32_t numbers[] = {1, 4, 0};
    struct slice_request request = {.watches = numbers, .n_watches = 3,
                                    .faults = 2, .allowed = allowed};
    const struct slice *slice =
        slice_build(w->arena, w->m, &w->flat, &request);

    assert_false(slice->used[1] || has_cell(slice, 1));
    assert_true(slice->used[0] && !slice->used[2]);
    assert_int_equal(slice->nodes[slice->watches[0].next].op, FLAT_CONST);
    assert_int_equal(slice->nodes[slice->watches[1].next].op, FLAT_CONST);
}

/* Watch 1 needs all three: F1 and F3 never together leaves it unseen, and two
 * of them present at most; a set with a cause that may not occur forbids
 * nothing. */
static void forbidden_sets_never_complete(void **state)
{
    struct machine *w = *state;
    const uint32_t pair[] = {2, 0}, number = 1;
    const struct cause_set set = {pair, 2};
    const bool allowed[FAULTS] = {true, true, false};
    struct slice_request request = {.watches = &number, .n_watches = 1,
                                    .faults = 3, .forbidden = &set,
                                    .n_forbidden = 1};
    const bool dropped[ASSUMPTIONS] = {true, true, true, true, true};
    struct run run;

    request.dropped = dropped;
    run = run_slice(slice_build(w->arena, w->m, &w->flat, &request));
    assert_false(run.seen);
    assert_int_equal(run.most, 2);
    for (uint32_t s = 0; s < 1u << FAULTS; s++)
        assert_int_equal(run.reached[s], (s & 5) != 5);
    request.allowed = allowed;
    assert_false(slice_build(w->arena, w->m, &w->flat, &request)->used[2]);
}

/* A set of one is a cause that never occurs. */
static void a_forbidden_cause_is_no_part(void **state)
{
    struct machine *w = *state;
    const uint32_t one = 1, number = 4;
    const struct cause_set set = {&one, 1};
    struct slice_request request = {.watches = &number, .n_watches = 1,
                                    .faults = 3, .forbidden = &set,
                                    .n_forbidden = 1};
    const struct slice *slice =
        slice_build(w->arena, w->m, &w->flat, &request);

    assert_false(slice->used[1] || has_cell(slice, 1));
}

/* Slices do not depend on what was asked before. */
static void slices_come_out_the_same_again(void **state)
{
    const struct slice *one = slice_for(*state, 3, 1, 31);
    const struct slice *other = slice_for(*state, 1, 2, 31);
    const struct slice *again = slice_for(*state, 3, 1, 31);

    assert_true(other->n_nodes > 0);
    assert_int_equal(one->n_nodes, again->n_nodes);
    assert_memory_equal(one->nodes, again->nodes,
                        one->n_nodes * sizeof *one->nodes);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(reads_are_followed),
        TEST(assumptions_are_tied_in),
        TEST(power_ties_nothing),
        TEST(motions_come_with_their_choice),
        TEST(free_times_need_no_clocks),
        TEST(cells_that_never_change_are_constants),
        TEST(the_first_form_reads_choices_only),
        TEST(ends_values_and_starting_assumptions),
        TEST(the_rest_is_grouped),
        TEST(faults_are_counted),
        TEST(only_faults_that_are_read_count),
        TEST(only_allowed_faults_appear),
        TEST(forbidden_sets_never_complete),
        TEST(a_forbidden_cause_is_no_part),
        TEST(slices_come_out_the_same_again),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
