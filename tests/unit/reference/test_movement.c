#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "tests/support/made_drive.h"

/* A gap that can go from 0 to 1 (and to 2) while an actuator stands; the
 * actuator follows a button.  Rows: 0 the movement, 1 the button. */
struct gate {
    struct hand *hand;
    uint32_t gap;
    struct code_stmt body[1];
    struct drive drive;
};

static void gate_make(struct gate *gate, int64_t lower, int64_t upper,
                      uint32_t movements)
{
    struct hand *hand = gate->hand = made_begin();
    uint32_t row = made_choice(hand, CHOICE_MACHINE, movements + 1, 0);
    uint32_t input, output, valve;

    gate->gap = made_slot(hand, SLOT_MACHINE, made_int(), 0);
    input = made_input(hand, made_button(hand, false));
    output = made_slot(hand, SLOT_PROGRAM, made_bool(), 0);
    valve = made_actuator(hand, output);
    gate->body[0] =
        made_assign(hand, output, made_var(hand, input, CODE_NOW));
    made_program(hand, gate->body, 1);
    for (uint32_t i = 0; i < movements; i++)
        hand->movements[i] = (struct movement){
            .slot = gate->gap, .from = 0, .to = i + 1, .lower = lower,
            .upper = upper, .timed = true, .choice = row, .number = i + 1,
            .condition = made_var(hand, valve, CODE_NOW)};
    hand->model.n_movements = movements;
    gate->drive = drive_begin(hand);
}

/* Per scan: button, choice, expected gap. */
static void play(struct gate *gate, const char *button, const char *choice,
                 const char *gap)
{
    for (size_t i = 0; button[i]; i++) {
        gate->drive.choices[0] = choice[i] - '0';
        gate->drive.choices[1] = button[i] - '0';
        drive_scan(&gate->drive);
        if (drive_value(&gate->drive, PLACE_SLOT, gate->gap) != gap[i] - '0')
            fail_msg("scan %zu of %s / %s: the gap is not %c", i + 1, button,
                     choice, gap[i]);
    }
    made_end(gate->hand);
}

/* The valve opened at judging 1; scan 2 is the first of the movement, its
 * 100 ms count. */
static void a_movement_without_time_may_happen_or_never(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 0, -1, 1);
    play(&gate, "1111", "1111", "0111");
    gate_make(&gate, 0, -1, 1);
    play(&gate, "11111111", "00000001", "00000001");
    gate_make(&gate, 0, -1, 1);
    play(&gate, "0011", "1111", "0001");
}

static void the_lower_bound_adds_up_all_pieces(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 300, -1, 1);
    play(&gate, "11111", "11111", "00011");
    gate_make(&gate, 300, -1, 1);
    play(&gate, "1010101", "1111111", "0000011");
    gate_make(&gate, 250, -1, 1);
    play(&gate, "11111", "11111", "00011");
}

static void the_upper_bound_forces_when_unbroken(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 100, 300, 1);
    play(&gate, "11111", "00000", "00011");
    gate_make(&gate, 100, 300, 1);
    play(&gate, "11011111", "00000000", "00000011");
}

/* While the conditions of two hold, none must; each may. */
static void two_movements_with_one_condition(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 100, 200, 2);
    play(&gate, "111111", "000002", "000002");
    gate_make(&gate, 100, 200, 2);
    play(&gate, "111111", "000100", "000111");
}

static void a_forced_movement_costs_like_a_chosen_one(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 100, 100, 1);
    gate.drive.choices[1] = 1;
    drive_scan(&gate.drive);
    assert_int_equal(gate.drive.last->movement_cost, 0);
    drive_scan(&gate.drive);
    assert_int_equal(drive_value(&gate.drive, PLACE_SLOT, gate.gap), 1);
    assert_int_equal(gate.drive.last->movement_cost, 1);
    made_end(gate.hand);
}

static void without_times_any_time_or_never(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 300, 400, 1);
    gate.drive.setting.free_times = true;
    play(&gate, "111", "001", "001");
    gate_make(&gate, 300, 400, 1);
    gate.drive.setting.free_times = true;
    play(&gate, "11111111", "00000000", "00000000");
}

/* The text behind the movements may overwrite; a value that did not change
 * goes on waiting. */
static void the_text_runs_after_the_movements(void **state)
{
    struct gate gate;
    struct code_stmt text[1];
    struct body mechanism = {.stmts = text, .n_stmts = 1};

    (void)state;
    gate_make(&gate, 100, 100, 1);
    text[0] =
        made_assign(gate.hand, gate.gap, made_number(gate.hand, 0));
    gate.hand->model.mechanisms = &mechanism;
    gate.hand->model.n_mechanisms = 1;
    gate.drive = drive_begin(gate.hand);
    gate.drive.choices[1] = 1;
    for (int scan = 0; scan < 3; scan++)
        drive_scan(&gate.drive);
    assert_int_equal(drive_value(&gate.drive, PLACE_SLOT, gate.gap), 0);
    assert_int_equal(drive_value(&gate.drive, PLACE_MOVE_UNBROKEN, 0), 100);
    made_end(gate.hand);
}

static void clocks_begin_anew_with_a_new_value(void **state)
{
    struct gate gate;

    (void)state;
    gate_make(&gate, 200, 500, 1);
    gate.drive.choices[1] = 1;
    drive_scan(&gate.drive);
    drive_scan(&gate.drive);
    assert_int_equal(drive_value(&gate.drive, PLACE_MOVE_TOTAL, 0), 100);
    assert_int_equal(drive_value(&gate.drive, PLACE_MOVE_UNBROKEN, 0), 100);
    gate.drive.choices[0] = 1;
    drive_scan(&gate.drive);
    assert_int_equal(drive_value(&gate.drive, PLACE_SLOT, gate.gap), 1);
    assert_int_equal(drive_value(&gate.drive, PLACE_MOVE_TOTAL, 0), 0);
    assert_int_equal(drive_value(&gate.drive, PLACE_MOVE_UNBROKEN, 0), 0);
    made_end(gate.hand);
}

/* A MAY can be declined, for ever; taken it counts as a movement. */
static void a_may_can_be_declined(void **state)
{
    struct hand *hand = made_begin();
    uint32_t row = made_choice(hand, CHOICE_MACHINE, 3, MODEL_NONE);
    uint32_t gap = made_slot(hand, SLOT_MACHINE, made_int(), 0);
    struct code_stmt one[] = {made_assign(hand, gap, made_number(hand, 1))};
    struct code_stmt two[] = {made_assign(hand, gap, made_number(hand, 2))};
    struct code_branch branches[] = {
        {.body = one, .n_body = 1, .branch = CODE_NO_SITE},
        {.body = two, .n_body = 1, .branch = CODE_NO_SITE}};
    struct code_stmt may[] = {{.kind = CODE_MAY, .choice = row,
                               .branches = branches, .n_branches = 2}};
    struct body mechanism = {.stmts = may, .n_stmts = 1};
    struct drive drive;

    (void)state;
    hand->model.mechanisms = &mechanism;
    hand->model.n_mechanisms = 1;
    drive = drive_begin(hand);
    drive.choices[row] = 1; /* no machine step in the first scan */
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, gap), 0);
    drive.choices[row] = 0;
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, gap), 0);
    assert_int_equal(drive.last->movement_cost, 0);
    drive.choices[row] = 2;
    drive_scan(&drive);
    assert_int_equal(drive_value(&drive, PLACE_SLOT, gap), 2);
    assert_int_equal(drive.last->movement_cost, 1);
    made_end(hand);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_movement_without_time_may_happen_or_never),
        cmocka_unit_test(the_lower_bound_adds_up_all_pieces),
        cmocka_unit_test(the_upper_bound_forces_when_unbroken),
        cmocka_unit_test(two_movements_with_one_condition),
        cmocka_unit_test(a_forced_movement_costs_like_a_chosen_one),
        cmocka_unit_test(without_times_any_time_or_never),
        cmocka_unit_test(the_text_runs_after_the_movements),
        cmocka_unit_test(clocks_begin_anew_with_a_new_value),
        cmocka_unit_test(a_may_can_be_declined),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
