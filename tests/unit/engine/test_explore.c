#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "engine/concrete/exploration.h"
#include "engine/explore.h"
#include "tests/support/hand_slice.h"

static flat_expr not_of(struct hand *h, flat_expr a)
{
    return hand_op(h, FLAT_NOT, a, FLAT_NONE);
}

static flat_expr equals(struct hand *h, flat_expr a, int64_t value)
{
    return hand_op(h, FLAT_EQ, a, hand_const(h, value));
}

static uint64_t leaves(const struct exploration *x)
{
    return x->first->leaves + x->next->leaves;
}

/* Counts 0, 100, .. 900 while the button is pressed. */
static flat_expr make_counter(struct hand *h, flat_expr *count)
{
    flat_expr button = hand_choice(h, FLAT_OPERATOR, 2, 0);
    flat_expr up;

    *count = hand_cell(h, 0, 900, 100);
    up = hand_op(h, FLAT_ADD, *count, hand_const(h, 100));
    up = hand_ite(h, hand_op(h, FLAT_LT, *count, hand_const(h, 900)), up,
                  *count);
    hand_next(h, *count, hand_const(h, 0),
              hand_ite(h, button, up, *count));
    return button;
}

static void counts_level_by_level(void **state)
{
    struct exploration *x;
    flat_expr count;
    struct hand h;

    (void)state;
    hand_init(&h);
    make_counter(&h, &count);
    hand_watch(&h, hand_const(&h, 0), equals(&h, count, 400));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_end(x), EXPLORE_COMPLETE);
    assert_int_equal(exploration_situations(x), 10);
    assert_int_equal(exploration_levels(x), 10);
    for (uint32_t l = 1; l <= 10; l++) {
        assert_int_equal(exploration_level_size(x, l), 1);
        assert_int_equal(exploration_value(x, l - 1, 0), 100 * (l - 1));
    }
    assert_int_equal(exploration_level_size(x, 0), 0);
    assert_int_equal(exploration_level_size(x, 11), 0);
    /* 400 is stored at judging 5 and read by the scan after it */
    assert_int_equal(exploration_watch_level(x, 0), 6);
    assert_int_equal(exploration_dead_end(x), FLAT_NONE);
    assert_true(exploration_bytes(x) > 0);
    /* at the top the button is not read */
    assert_int_equal(leaves(x), 1 + 9 * 2 + 1);
    exploration_free(x);
    hand_release(&h);
}

static void without_cells_there_is_one_situation(void **state)
{
    struct exploration *x;
    struct hand h;
    flat_expr a;

    (void)state;
    hand_init(&h);
    a = hand_choice(&h, FLAT_OPERATOR, 3, 0);
    hand_watch(&h, equals(&h, a, 2), hand_const(&h, 0));
    hand_watch(&h, hand_const(&h, 0), equals(&h, a, 1));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_situations(x), 1);
    assert_int_equal(exploration_levels(x), 1);
    assert_int_equal(exploration_watch_level(x, 0), 1);
    assert_int_equal(exploration_watch_level(x, 1), 2);
    exploration_free(x);
    hand_release(&h);
}

/* A chain a AND (b AND (c AND d)): five leaves where plain enumeration has
 * sixteen. */
static void reads_inputs_only_where_needed(void **state)
{
    struct exploration *x;
    flat_expr e, cell;
    struct hand h;

    (void)state;
    hand_init(&h);
    cell = hand_cell(&h, 0, 1, 1);
    e = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    for (int i = 0; i < 3; i++)
        e = hand_op(&h, FLAT_AND, hand_choice(&h, FLAT_INPUT, 2, 0), e);
    hand_next(&h, cell, hand_const(&h, 0), e);
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_situations(x), 2);
    assert_int_equal(leaves(x), 1 + 2 * 5);
    exploration_free(x);
    hand_release(&h);
}

static void assumptions_narrow_inputs(void **state)
{
    struct exploration *x;
    flat_expr up, down, both, at, step;
    struct hand h;

    (void)state;
    hand_init(&h);
    up = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    down = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    at = hand_cell(&h, 0, 1, 1);
    both = hand_op(&h, FLAT_AND, up, down);
    step = hand_op(&h, FLAT_XOR, up, down);
    hand_next(&h, at, hand_const(&h, 0), step);
    hand_watch(&h, both, both);
    hand_assume(&h, not_of(&h, both), not_of(&h, both));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_watch_level(x, 0), 0);
    assert_int_equal(exploration_dead_end(x), FLAT_NONE);
    assert_int_equal(exploration_situations(x), 2);
    exploration_free(x);
    hand_release(&h);
}

/* The assumption ties the hand to the counter, and at 300 asks for more than
 * a hand can do. */
static void finds_where_no_input_fits(void **state)
{
    struct exploration *x;
    flat_expr count, button, low;
    struct hand h;

    (void)state;
    hand_init(&h);
    button = make_counter(&h, &count);
    low = hand_op(&h, FLAT_LT, count, hand_const(&h, 300));
    hand_assume(&h, button, hand_op(&h, FLAT_AND, button, low));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_situations(x), 4);
    assert_int_equal(exploration_dead_end(x), 4);
    exploration_free(x);
    hand_release(&h);
}

/* Either branch may need the fault: with the hand up it is the fault that
 * decides, with the hand down the cell, which is FALSE.  Without the fault no
 * hand fits; a fault must not be chosen to suit the hand. */
static void faults_do_not_help_inputs(void **state)
{
    struct exploration *x;
    flat_expr hand, fault, cell, first, next;
    struct hand h;

    (void)state;
    hand_init(&h);
    hand = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    fault = hand_choice(&h, FLAT_FAULT, 2, 0);
    cell = hand_cell(&h, 0, 1, 1);
    hand_next(&h, cell, hand_const(&h, 0), cell);
    first = hand_const(&h, 1);
    next = hand_ite(&h, hand, cell, fault);
    hand_assume(&h, first, next);
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_dead_end(x), 1);
    exploration_free(x);
    hand_release(&h);

    hand_init(&h);
    hand = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    fault = hand_choice(&h, FLAT_FAULT, 2, 0);
    next = hand_op(&h, FLAT_XOR, hand, fault); /* some hand always fits */
    hand_assume(&h, next, next);
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_dead_end(x), FLAT_NONE);
    exploration_free(x);
    hand_release(&h);
}

static void nothing_allowed_at_the_start(void **state)
{
    struct exploration *x;
    struct hand h;

    (void)state;
    hand_init(&h);
    hand_assume(&h, hand_const(&h, 0), hand_const(&h, 1));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_end(x), EXPLORE_COMPLETE);
    assert_int_equal(exploration_situations(x), 0);
    assert_int_equal(exploration_levels(x), 0);
    assert_int_equal(exploration_dead_end(x), 0);
    exploration_free(x);
    hand_release(&h);
}

/* The path ends at 500: nothing behind it is seen, and what is judged at
 * the same scan does not count. */
static void paths_end_at_errors(void **state)
{
    struct exploration *x;
    flat_expr count, no;
    struct hand h;

    (void)state;
    hand_init(&h);
    make_counter(&h, &count);
    no = hand_const(&h, 0);
    hand_end(&h, no, equals(&h, count, 500));
    hand_end(&h, no, equals(&h, count, 500));
    hand_watch(&h, no, equals(&h, count, 500));
    hand_watch(&h, no, equals(&h, count, 400));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_situations(x), 6);
    assert_int_equal(exploration_end_level(x, 0), 7);
    assert_int_equal(exploration_end_level(x, 1), 0);
    assert_int_equal(exploration_watch_level(x, 0), 0);
    assert_int_equal(exploration_watch_level(x, 1), 6);
    exploration_free(x);
    hand_release(&h);
}

static void says_when_a_value_does_not_fit(void **state)
{
    struct exploration *x;
    flat_expr cell, up;
    struct hand h;

    (void)state;
    hand_init(&h);
    cell = hand_cell(&h, 1, 3, 1);
    up = hand_op(&h, FLAT_ADD, cell, hand_const(&h, 1));
    hand_next(&h, cell, hand_const(&h, 1), up);
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_situations(x), 3);
    assert_int_equal(exploration_reduced(x), 1);
    exploration_free(x);
    hand_release(&h);
}

/* A 3 by 3 board of nine tiles; a move rotates a row to the right or a
 * column downwards.  A rotation of three is an even permutation, and as the
 * rows and columns hang together, all 9! / 2 even ones are reached. */
static flat_expr moved_tile(struct hand *h, const flat_expr *tile,
                            flat_expr move, uint32_t at)
{
    uint32_t row = at / 3, column = at % 3;
    flat_expr left = tile[row * 3 + (column + 2) % 3];
    flat_expr above = tile[(row + 2) % 3 * 3 + column];
    flat_expr e = hand_ite(h, equals(h, move, row + 1), left, tile[at]);

    return hand_ite(h, equals(h, move, column + 4), above, e);
}

static void reaches_every_even_board(void **state)
{
    struct exploration *x;
    flat_expr move, tile[9];
    uint64_t sum = 0;
    struct hand h;

    (void)state;
    hand_init(&h);
    move = hand_choice(&h, FLAT_MACHINE, 7, 0);
    for (uint32_t i = 0; i < 9; i++)
        tile[i] = hand_cell(&h, 0, 8, 1);
    for (uint32_t i = 0; i < 9; i++)
        hand_next(&h, tile[i], hand_const(&h, i),
                  moved_tile(&h, tile, move, i));
    x = explore(hand_slice(&h), NULL);
    assert_int_equal(exploration_situations(x), 362880 / 2);
    assert_int_equal(exploration_level_size(x, 1), 1);
    assert_int_equal(exploration_level_size(x, 2), 6);
    for (uint32_t l = 1; l <= exploration_levels(x); l++)
        sum += exploration_level_size(x, l);
    assert_int_equal(sum, 362880 / 2);
    exploration_free(x);
    hand_release(&h);
}

static bool at_once(void *unused)
{
    (void)unused;
    return true;
}

static void count_calls(void *context, uint32_t level, uint64_t situations)
{
    uint32_t *calls = context;

    assert_int_equal(level, ++*calls);
    assert_true(situations >= 1);
}

static void make_wide(struct hand *h)
{
    for (uint32_t i = 0; i < 16; i++) {
        flat_expr cell = hand_cell(h, 0, 1, 1);

        hand_next(h, cell, hand_const(h, 0),
                  hand_choice(h, FLAT_INPUT, 2, 0));
    }
}

static void keeps_to_its_limits(void **state)
{
    struct explore_setting setting = {.most_situations = 1000};
    struct exploration *x;
    struct hand h;

    (void)state;
    hand_init(&h);
    make_wide(&h);
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(exploration_end(x), EXPLORE_SITUATIONS);
    assert_int_equal(exploration_situations(x), 1000);
    assert_int_equal(exploration_levels(x), 1);
    exploration_free(x);

    setting = (struct explore_setting){.most_bytes = 3 << 19};
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(exploration_end(x), EXPLORE_MEMORY);
    assert_true(exploration_situations(x) < 65536);
    assert_int_equal(exploration_levels(x), 1);
    exploration_free(x);

    setting = (struct explore_setting){.interrupted = at_once};
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(exploration_end(x), EXPLORE_INTERRUPTED);
    assert_int_equal(exploration_levels(x), 1);
    exploration_free(x);
    hand_release(&h);
}

/* A limit that is just enough is no limit. */
static void exactly_enough_is_complete(void **state)
{
    struct explore_setting setting = {.most_situations = 10};
    struct exploration *x;
    uint32_t calls = 0;
    flat_expr count;
    struct hand h;

    (void)state;
    hand_init(&h);
    make_counter(&h, &count);
    setting.progress = count_calls;
    setting.progress_context = &calls;
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(exploration_end(x), EXPLORE_COMPLETE);
    assert_int_equal(calls, 11); /* the last one brought nothing new */
    exploration_free(x);
    hand_release(&h);
}

static void stops_when_all_was_seen(void **state)
{
    bool until[3] = {true, false, true};
    struct explore_setting setting = {.until = until};
    struct exploration *x;
    flat_expr count, no;
    struct hand h;

    (void)state;
    hand_init(&h);
    make_counter(&h, &count);
    no = hand_const(&h, 0);
    hand_watch(&h, no, equals(&h, count, 100));
    hand_watch(&h, no, equals(&h, count, 700));
    hand_watch(&h, no, equals(&h, count, 300));
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(exploration_end(x), EXPLORE_SEEN);
    assert_int_equal(exploration_watch_level(x, 0), 3);
    assert_int_equal(exploration_watch_level(x, 1), 0);
    assert_int_equal(exploration_watch_level(x, 2), 5);
    assert_int_equal(exploration_levels(x), 4);
    exploration_free(x);

    until[0] = until[2] = false;
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(exploration_end(x), EXPLORE_COMPLETE);
    exploration_free(x);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_level_by_level),
        cmocka_unit_test(without_cells_there_is_one_situation),
        cmocka_unit_test(reads_inputs_only_where_needed),
        cmocka_unit_test(assumptions_narrow_inputs),
        cmocka_unit_test(finds_where_no_input_fits),
        cmocka_unit_test(faults_do_not_help_inputs),
        cmocka_unit_test(nothing_allowed_at_the_start),
        cmocka_unit_test(paths_end_at_errors),
        cmocka_unit_test(says_when_a_value_does_not_fit),
        cmocka_unit_test(reaches_every_even_board),
        cmocka_unit_test(keeps_to_its_limits),
        cmocka_unit_test(exactly_enough_is_complete),
        cmocka_unit_test(stops_when_all_was_seen),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
