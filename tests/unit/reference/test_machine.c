#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "reference/machine.h"
#include "tests/support/made_drive.h"

static const struct code_expr *plus_one(struct hand *hand, uint32_t slot)
{
    return made_op(hand, CODE_ADD, made_var(hand, slot, CODE_NOW),
                   made_number(hand, 1));
}

/* ---- the scan, lit and dark ---- */

static void an_actuator_follows_its_command_in_the_same_scan(void **state)
{
    struct hand *hand = made_begin();
    uint32_t button = made_button(hand, false);
    uint32_t input = made_input(hand, button);
    uint32_t output = made_slot(hand, SLOT_PROGRAM, made_bool(), 0);
    uint32_t valve = made_actuator(hand, output);
    struct code_stmt body[] = {
        made_assign(hand, output, made_var(hand, input, CODE_NOW))};
    struct drive drive;

    (void)state;
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive.choices[0] = 1;
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_JUDGED);
    assert_int_equal(drive.last->command[0], 1);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, valve), 1);
    assert_int_equal(drive.last->operator_cost, 1);
    assert_true(drive.last->contact[0]);
    drive.choices[0] = 0;
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, valve), 0);
    assert_int_equal(drive.last->operator_cost, 0);
    made_end(hand);
}

static void power_takes_all_but_retain(void **state)
{
    struct hand *hand = made_begin();
    uint32_t lost, kept, machine, valve;
    struct code_stmt body[2], text[1];
    struct body mechanism;
    struct drive drive;

    (void)state;
    made_choice(hand, CHOICE_POWER, 2, 0);
    lost = made_slot(hand, SLOT_PROGRAM, made_int(), 5);
    kept = made_slot(hand, SLOT_PROGRAM, made_int(), 5);
    hand->slots[kept].retain = true;
    machine = made_slot(hand, SLOT_MACHINE, made_int(), 0);
    valve = made_actuator(hand, lost);
    body[0] = made_assign(hand, lost, plus_one(hand, lost));
    body[1] = made_assign(hand, kept, plus_one(hand, kept));
    text[0] = made_assign(hand, machine, plus_one(hand, machine));
    mechanism = (struct body){.stmts = text, .n_stmts = 1};
    hand->model.mechanisms = &mechanism;
    hand->model.n_mechanisms = 1;
    made_program(hand, body, 2);
    drive = drive_begin(hand);
    drive.choices[0] = 1; /* not read in the first scan */
    drive_scan(&drive);
    assert_false(drive.last->dark);
    assert_false(machine_read_rows(drive.machine)[0]);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, lost), 6);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, machine), 0);
    drive_scan(&drive);
    assert_true(drive.last->dark);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, lost), 5);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, kept), 6);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, machine), 1);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, valve), 0);
    assert_int_equal(drive_value(&drive, PLACE_WAS_DARK, 0), 1);
    drive.choices[0] = 0;
    drive_scan(&drive);
    assert_true(drive.last->returned);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, lost), 6);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, kept), 7);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, machine), 2);
    drive_scan(&drive);
    assert_false(drive.last->returned);
    made_end(hand);
}

/* PREVIOUS of hand, READ, program variable, actuator and COMMANDED,
 * seen by five requirements: scans 1 lit, 2 lit, 3 dark, 4 lit.
 * The hand presses in scans 1, 3 and 5. */
static void previous_of_each_kind(void **state)
{
    static const uint32_t dark[] = {0, 0, 1, 0, 0};
    static const uint32_t hands[] = {1, 0, 1, 0, 1};
    static const char *const expected[] = {
        "11100", /* hand: as now in 1, 3, 4 */
        "11000", /* READ: as now, which in the dark is its initial value */
        "01000", /* program variable: initial before scan 1 */
        "01000", /* actuator: off before */
        "01000", /* COMMANDED the same */
    };
    struct hand *hand = made_begin();
    uint32_t button, input, output;
    struct code_stmt body[1];
    struct drive drive;

    (void)state;
    made_choice(hand, CHOICE_POWER, 2, 0);
    button = made_button(hand, false);
    input = made_input(hand, button);
    output = made_slot(hand, SLOT_PROGRAM, made_bool(), 0);
    made_actuator(hand, output);
    body[0] = made_assign(hand, output, made_var(hand, input, CODE_NOW));
    made_program(hand, body, 1);
    made_require(hand, FORM_NEVER,
                 made_leaf(hand, CODE_HAND, button, CODE_PREVIOUS), NULL,
                 NULL);
    made_require(hand, FORM_NEVER,
                 made_leaf(hand, CODE_READ, input, CODE_PREVIOUS), NULL,
                 NULL);
    made_require(hand, FORM_NEVER, made_var(hand, output, CODE_PREVIOUS),
                 NULL, NULL);
    made_require(hand, FORM_NEVER,
                 made_var(hand, hand->actuators[0].slot, CODE_PREVIOUS),
                 NULL, NULL);
    made_require(hand, FORM_NEVER,
                 made_leaf(hand, CODE_COMMANDED, 0, CODE_PREVIOUS), NULL,
                 NULL);
    drive = drive_begin(hand);
    for (int scan = 0; scan < 5; scan++) {
        drive.choices[0] = dark[scan];
        drive.choices[1] = hands[scan];
        drive_scan(&drive);
        for (int i = 0; i < 5; i++)
            if (drive.last->breach[i] != (expected[i][scan] == '1'))
                fail_msg("row %d, scan %d", i, scan + 1);
    }
    made_end(hand);
}

/* A timer of the control text stands in the dark and counts in the scan in
 * which power returns; one of the machine counts in both. */
static void timers_in_the_dark(void **state)
{
    struct hand *hand = made_begin();
    uint32_t control, machine;
    struct drive drive;

    (void)state;
    made_choice(hand, CHOICE_POWER, 2, 0);
    control = hand->model.n_slots;
    for (int i = 0; i < TIMER_SIZE; i++)
        hand->slots[made_slot(hand, SLOT_PROGRAM, made_time(), 0)].retain =
            true;
    machine = hand->model.n_slots;
    for (int i = 0; i < TIMER_SIZE; i++)
        made_slot(hand, SLOT_MACHINE, made_time(), 0);
    hand->slots[control + TIMER_AGE].clock = true;
    hand->slots[machine + TIMER_AGE].clock = true;
    hand->slots[control + TIMER_RUNNING].initial = 1;
    hand->slots[machine + TIMER_RUNNING].initial = 1;
    hand->slots[control + TIMER_PT].initial = 5000;
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, control + TIMER_AGE), 0);
    drive.choices[0] = 1;
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, control + TIMER_AGE), 0);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, machine + TIMER_AGE), 100);
    drive.choices[0] = 0;
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, control + TIMER_AGE), 100);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, machine + TIMER_AGE), 200);
    for (int i = 0; i < 100; i++)
        drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, control + TIMER_AGE),
                     5100);
    made_end(hand);
}

/* ---- choices ---- */

static void a_hand_that_nobody_asks_for_stays_undecided(void **state)
{
    struct hand *hand = made_begin();
    uint32_t used = made_input(hand, made_button(hand, false));
    uint32_t idle = made_input(hand, made_button(hand, false));
    uint32_t output = made_slot(hand, SLOT_PROGRAM, made_bool(), 0);
    struct code_stmt body[] = {
        made_assign(hand, output, made_var(hand, used, CODE_NOW))};
    struct drive drive;
    uint32_t n;

    (void)state;
    (void)idle;
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_true(machine_read_rows(drive.machine)[0]);
    assert_false(machine_read_rows(drive.machine)[1]);
    assert_int_equal(machine_read_order(drive.machine, &n)[0], 0);
    assert_int_equal(n, 1);
    made_end(hand);
}

static void ranks_put_rest_first(void **state)
{
    struct choice pressed = {
        .kind = CHOICE_OPERATOR, .count = 4, .rest = 2};
    struct choice fault = {.kind = CHOICE_FAULT, .count = 2, .rest = 1};

    (void)state;
    assert_int_equal(machine_rest(&pressed), 2);
    assert_int_equal(machine_rank(&pressed, 2), 0);
    assert_int_equal(machine_rank(&pressed, 0), 1);
    assert_int_equal(machine_rank(&pressed, 1), 2);
    assert_int_equal(machine_rank(&pressed, 3), 3);
    assert_int_equal(machine_rest(&fault), 0);
    assert_int_equal(machine_rank(&fault, 1), 1);
}

/* ---- errors and assumptions ---- */

static void overflow_ends_the_path_and_leaves_the_state(void **state)
{
    struct hand *hand = made_begin();
    uint32_t count = made_slot(hand, SLOT_PROGRAM, made_int(), 32766);
    struct code_stmt body[] = {
        made_assign(hand, count, plus_one(hand, count))};
    struct drive drive;

    (void)state;
    made_program(hand, body, 1);
    made_require(hand, FORM_NEVER, made_number(hand, 1), NULL, NULL);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_JUDGED);
    assert_true(drive.last->breach[0]);
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_ERROR);
    assert_int_equal(drive.last->error, 0);
    assert_false(drive.last->breach[0]);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, count), 32767);
    made_end(hand);
}

/* Both sides of an operator are evaluated, the body of a branch that is not
 * taken is not. */
static void where_errors_happen(void **state)
{
    struct hand *hand = made_begin();
    uint32_t zero = made_slot(hand, SLOT_PROGRAM, made_int(), 0);
    uint32_t go = made_input(hand, made_button(hand, false));
    uint32_t out = made_slot(hand, SLOT_PROGRAM, made_int(), 0);
    const struct code_expr *divided = made_op(
        hand, CODE_DIV, made_number(hand, 1),
        made_var(hand, zero, CODE_NOW));
    struct code_stmt inner[] = {made_assign(hand, out, divided)};
    struct code_branch branch = {
        .condition = made_var(hand, go, CODE_NOW), .body = inner,
        .n_body = 1, .branch = CODE_NO_SITE};
    struct code_stmt body[] = {
        {.kind = CODE_IF, .branches = &branch, .n_branches = 1}};
    struct drive drive;

    (void)state;
    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_JUDGED);
    drive.choices[0] = 1;
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_ERROR);
    branch.condition = made_op(
        hand, CODE_AND, made_var(hand, go, CODE_NOW),
        made_op(hand, CODE_EQ, divided, made_number(hand, 0)));
    drive.choices[0] = 0;
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_ERROR);
    made_end(hand);
}

static int64_t computed(struct hand *hand, enum code_op op, int64_t a,
                        int64_t b, enum step_end *end)
{
    uint32_t out = made_slot(hand, SLOT_PROGRAM, made_int(), 0);
    struct code_stmt body[] = {made_assign(
        hand, out,
        made_op(hand, op, made_number(hand, a),
                op == CODE_NEGATE ? NULL : made_number(hand, b)))};
    struct drive drive;

    made_program(hand, body, 1);
    drive = drive_begin(hand);
    drive_scan(&drive);
    *end = drive.last->end;
    return drive_value(&drive, PLACE_SLOT, out);
}

/* IEC 61131-3: division truncates, MOD takes the sign of the dividend;
 * from memory. */
static void arithmetic(void **state)
{
    static const struct {
        enum code_op op;
        int64_t a, b, result;
        bool error;
    } rows[] = {
        {CODE_ADD, 32767, 0, 32767, false},
        {CODE_ADD, 32767, 1, 0, true},
        {CODE_SUB, -32768, 1, 0, true},
        {CODE_MUL, -256, 128, -32768, false},
        {CODE_MUL, 256, 128, 0, true},
        {CODE_MUL, INT64_MAX, 2, 0, true},
        {CODE_NEGATE, -32767, 0, 32767, false},
        {CODE_NEGATE, -32768, 0, 0, true},
        {CODE_NEGATE, INT64_MIN, 0, 0, true},
        {CODE_DIV, 7, 2, 3, false},
        {CODE_DIV, -7, 2, -3, false},
        {CODE_DIV, 7, -2, -3, false},
        {CODE_DIV, -32768, -1, 0, true},
        {CODE_DIV, INT64_MIN, -1, 0, true},
        {CODE_DIV, 1, 0, 0, true},
        {CODE_MOD, -7, 2, -1, false},
        {CODE_MOD, 7, -2, 1, false},
        {CODE_MOD, INT64_MIN, -1, 0, false},
        {CODE_MOD, 7, 0, 0, true},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct hand *hand = made_begin();
        enum step_end end;
        int64_t result =
            computed(hand, rows[i].op, rows[i].a, rows[i].b, &end);

        assert_int_equal(end, rows[i].error ? STEP_ERROR : STEP_JUDGED);
        if (!rows[i].error)
            assert_int_equal(result, rows[i].result);
        made_end(hand);
    }
}

static void an_assumption_forbids_a_scan(void **state)
{
    struct hand *hand = made_begin();
    uint32_t left = made_button(hand, false);
    uint32_t right = made_button(hand, false);
    bool dropped[1] = {true};
    struct drive drive;

    (void)state;
    hand->assumptions[0].condition = made_op(
        hand, CODE_NOT,
        made_op(hand, CODE_AND,
                made_leaf(hand, CODE_CONTACT, left, CODE_NOW),
                made_leaf(hand, CODE_CONTACT, right, CODE_NOW)), NULL);
    hand->model.n_assumptions = 1;
    drive = drive_begin(hand);
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_JUDGED);
    drive.choices[0] = drive.choices[1] = 1;
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_NOT_ALLOWED);
    assert_int_equal(drive.last->assumption, 0);
    drive.setting.dropped = dropped;
    drive_scan(&drive);
    assert_int_equal(drive.last->end, STEP_JUDGED);
    made_end(hand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_actuator_follows_its_command_in_the_same_scan),
        cmocka_unit_test(power_takes_all_but_retain),
        cmocka_unit_test(previous_of_each_kind),
        cmocka_unit_test(timers_in_the_dark),
        cmocka_unit_test(a_hand_that_nobody_asks_for_stays_undecided),
        cmocka_unit_test(ranks_put_rest_first),
        cmocka_unit_test(overflow_ends_the_path_and_leaves_the_state),
        cmocka_unit_test(where_errors_happen),
        cmocka_unit_test(arithmetic),
        cmocka_unit_test(an_assumption_forbids_a_scan),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
