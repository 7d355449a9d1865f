/* The checked tree of whole small texts: slots, binding, choices, limits. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "source/diag.h"
#include "tests/support/checked.h"

static const char press[] =
    "FUNCTION_BLOCK TwoHand\n"
    "VAR_INPUT left, right : BOOL; END_VAR\n"
    "VAR_OUTPUT ok : BOOL; END_VAR\n"
    "VAR lag : TON; END_VAR\n"
    "  lag(IN := left XOR right, PT := T#500ms);\n"
    "  ok := left AND right AND NOT lag.Q;\n"
    "END_FUNCTION_BLOCK\n"
    "PROGRAM Main\n"
    "VAR_INPUT left, right, halt_ok : BOOL; END_VAR\n"
    "VAR_OUTPUT down : BOOL; END_VAR\n"
    "VAR two_hand : TwoHand; bus_ok : BOOL; END_VAR\n"
    "VAR RETAIN kept : TON; END_VAR\n"
    "  two_hand(left := left, right := right);\n"
    "  kept(IN := down, PT := T#1s);\n"
    "  down := two_hand.ok AND halt_ok AND bus_ok;\n"
    "END_PROGRAM\n";

#define REVIEW(body)                                                       \
    "REVIEW Press 'a press'\n"                                             \
    "  CONTROL 'test.st';\n  SCAN T#100ms;\n"                              \
    "  CONTROLS\n"                                                         \
    "    left : BUTTON; right : BUTTON;\n"                                 \
    "    halt_ok : STOP CONTACTS OPENING;\n"                               \
    "    shut : SENSOR ON WHEN gap = Shut;\n"                              \
    "    down : VALVE 'ram comes down';\n"                                 \
    "  END_CONTROLS\n"                                                     \
    "  MECHANISM Gate\n"                                                   \
    "    VAR gap : (Shut, Narrow, Wide); END_VAR\n"                        \
    "    MOVES gap FROM Wide TO Narrow IN T#4s .. T#20s WHILE down;\n"     \
    "    MOVES gap FROM Narrow TO Shut IN T#1s .. WHILE down;\n"           \
    "    MAY gap := Wide; OR gap := Narrow; END_MAY;\n"                    \
    "  END_MECHANISM\n" body "END_REVIEW\n"

static void instances_become_slots(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, press, REVIEW(""));
    assert_non_null(it.model);
    assert_true(checked_slot(&it, "Main.two_hand.lag.(age)")->clock);
    assert_false(checked_slot(&it, "Main.two_hand.lag.ET")->clock);
    assert_true(checked_slot(&it, "Main.kept.(running)")->retain);
    assert_false(checked_slot(&it, "Main.two_hand.lag.Q")->retain);
    assert_true(it.model->power_may_fail);
    checked_release(&it);
}

static void signals_bind_by_name(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, press, REVIEW(""));
    assert_int_equal(checked_slot(&it, "Main.left")->driver, DRIVER_CONTACT);
    assert_int_equal(checked_slot(&it, "Main.halt_ok")->driver_index, 2);
    assert_int_equal(checked_slot(&it, "Main.bus_ok")->driver,
                     DRIVER_CHOICE);
    assert_true(checked_slot(&it, "Main.bus_ok")->input);
    assert_false(checked_slot(&it, "Main.down")->input);
    assert_ptr_equal(&it.model->slots[it.model->actuators[0].command],
                     checked_slot(&it, "Main.down"));
    checked_release(&it);
}

static void choices_stand_in_order(void **state)
{
    static const struct {
        enum choice_kind kind;
        const char *name;
        uint32_t count;
    } rows[] = {{CHOICE_POWER, "power", 2},   {CHOICE_FAULT, "F1", 2},
                {CHOICE_FAULT, "F2", 2},      {CHOICE_START, "gap", 3},
                {CHOICE_PAST, "left", 2},     {CHOICE_MACHINE, "gap", 3},
                {CHOICE_MACHINE, "MAY on line 14", 3},
                {CHOICE_OPERATOR, "left", 2}, {CHOICE_OPERATOR, "right", 2},
                {CHOICE_OPERATOR, "halt_ok", 2},
                {CHOICE_INPUT, "Main.bus_ok", 2}};
    struct checked it;

    (void)state;
    checked_init(&it, press,
                 REVIEW("FAULTS F1 : left DOES NOT OPEN;\n"
                        "F2 : down STAYS; END_FAULTS\n"));
    assert_non_null(it.model);
    assert_int_equal(it.model->n_choices, sizeof rows / sizeof *rows);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(it.model->choices[i].kind, rows[i].kind);
        assert_string_equal(it.model->choices[i].name, rows[i].name);
        assert_int_equal(it.model->choices[i].count, rows[i].count);
    }
    assert_string_equal(it.model->faults[0].title, "left does not open");
    assert_int_equal(it.model->contacts[0].past, 4);
    assert_int_equal(it.model->movements[1].number, 2);
    checked_release(&it);
}

static void times_are_tightened(void **state)
{
    struct checked it;

    (void)state;
    checked_init(
        &it, press,
        REVIEW("REQUIREMENTS\n"
               "R1 : WHEN left THEN right WITHIN T#500ms;\n"
               "R2 : WHEN left THEN right WITHIN T#550ms SAMPLED;\n"
               "R3 : left AT LEAST T#250ms;\n"
               "R4 : down NO LONGER THAN T#250ms;\n"
               "R5 : NEVER down AND (left TRUE FOR T#500ms);\n"
               "R6 : right ONLY IF left TRUE FOR T#500ms;\n"
               "END_REQUIREMENTS\n"));
    assert_non_null(it.model);
    assert_int_equal(checked_requirement(&it, "R1")->limit.judged, 300);
    assert_int_equal(checked_requirement(&it, "R1")->limit.events, 2);
    assert_int_equal(checked_requirement(&it, "R2")->limit.judged, 500);
    assert_int_equal(checked_requirement(&it, "R3")->limit.judged, 500);
    assert_int_equal(checked_requirement(&it, "R4")->limit.judged, 200);
    assert_int_equal(it.model->clocks[0].limit.judged, 400);
    assert_int_equal(it.model->clocks[1].limit.judged, 700);
    checked_release(&it);
}

static void triggers_leave_one_part_out(void **state)
{
    const struct requirement *row;
    struct checked it;

    (void)state;
    checked_init(
        &it, press,
        REVIEW("REQUIREMENTS\n"
               "R1 : NEVER down AND NOT (left AND right) OR RISING left;\n"
               "R2 : ALWAYS NOT down OR left;\n"
               "R3 : gap MOVES ONLY WHILE down;\n"
               "R4 : WHEN RISING left THEN down WITHIN T#500ms;\n"
               "R5 : NEVER down BY ITSELF, STARTED BY left;\n"
               "END_REQUIREMENTS\n"));
    assert_non_null(it.model);
    row = checked_requirement(&it, "R1");
    assert_int_equal(row->n_triggers, 2);
    assert_string_equal(row->triggers[0].words,
                        "NOT (left AND right) (leaving out down)");
    assert_string_equal(row->triggers[1].words,
                        "down (leaving out NOT (left AND right))");
    row = checked_requirement(&it, "R2");
    assert_int_equal(row->n_triggers, 2);
    assert_string_equal(row->triggers[1].words,
                        "down (leaving out NOT left)");
    row = checked_requirement(&it, "R3");
    assert_null(row->triggers[0].condition);
    assert_string_equal(row->triggers[0].words, "gap moves");
    assert_true(checked_requirement(&it, "R4")->edge_of_hand);
    assert_true(checked_requirement(&it, "R5")->edge_of_hand);
    assert_true(checked_requirement(&it, "R1")->edge_of_hand);
    assert_false(checked_requirement(&it, "R2")->edge_of_hand);
    checked_release(&it);
}

static void without_review_all_is_free(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, press, NULL);
    assert_non_null(it.model);
    assert_null(it.model->name);
    assert_int_equal(it.model->scan, 100);
    assert_true(it.model->scan_assumed);
    assert_int_equal(checked_choice(&it, CHOICE_INPUT, "Main.left")->count,
                     2);
    assert_int_equal(it.model->n_requirements, 0);
    checked_release(&it);
}

static void mistakes_are_reported_once_each(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it,
                 "PROGRAM Main\nVAR x : BOOL; END_VAR\n"
                 "  x := y AND (y OR z);\n  x := 3;\nEND_PROGRAM\n",
                 NULL);
    assert_null(it.model);
    assert_true(checked_says(&it, "'y' is not declared"));
    assert_true(checked_says(&it, "'z' is not declared"));
    assert_true(checked_says(
        &it, "a value of the type BOOL is needed here, this is a whole "
             "number"));
    assert_int_equal(diags_errors(it.diags), 4);
    checked_release(&it);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(instances_become_slots),
        cmocka_unit_test(signals_bind_by_name),
        cmocka_unit_test(choices_stand_in_order),
        cmocka_unit_test(times_are_tightened),
        cmocka_unit_test(triggers_leave_one_part_out),
        cmocka_unit_test(without_review_all_is_free),
        cmocka_unit_test(mistakes_are_reported_once_each)};

    return cmocka_run_group_tests_name("check", tests, NULL, NULL);
}
