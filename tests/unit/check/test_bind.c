/* Wiring and binding: who drives what, and who may not. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "source/diag.h"
#include "tests/support/checked.h"

static const char two[] =
    "PROGRAM Main\nVAR_INPUT go, halt_ok : BOOL; END_VAR\n"
    "VAR_OUTPUT down : BOOL; END_VAR\n"
    "VAR set : INT (0 .. 5) := 2; own : INT (0 .. 5); END_VAR\n"
    "  down := go AND halt_ok AND set > 1;\n  own := 1;\nEND_PROGRAM\n"
    "PROGRAM Aux\nVAR_INPUT halt_ok : BOOL; END_VAR\n"
    "VAR_OUTPUT lit : BOOL; END_VAR\n  lit := halt_ok;\nEND_PROGRAM\n";

#define REVIEW(body)                                                       \
    "REVIEW P 'p'\n CONTROL 'test.st'; SCAN T#50ms;\n"                     \
    "CONTROLS\n go : BUTTON; down : VALVE;\n"                              \
    " halt_ok : STOP CONTACTS OPENING;\nEND_CONTROLS\n" body "END_REVIEW\n"

#define WIRED                                                              \
    "WIRING IN\n VAR relay : BOOL; END_VAR\n relay := halt_ok;\n"          \
    " Main.halt_ok := relay; Aux.halt_ok := relay;\nEND_WIRING\n"

static void wiring_drives_inputs(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, two, REVIEW(WIRED));
    assert_non_null(it.model);
    assert_int_equal(checked_slot(&it, "Main.halt_ok")->driver,
                     DRIVER_WIRING);
    assert_int_equal(checked_slot(&it, "Aux.halt_ok")->driver,
                     DRIVER_WIRING);
    assert_int_equal(checked_slot(&it, "Main.go")->driver, DRIVER_CONTACT);
    assert_int_equal(checked_slot(&it, "relay")->home, SLOT_WIRING_IN);
    assert_int_equal(it.model->wiring_in.n_stmts, 3);
    assert_int_equal(it.model->wiring_in.stmts[0].value->op, CODE_CONDUCTS);
    checked_release(&it);
}

static void two_programs_need_wiring(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, two, REVIEW(""));
    assert_null(it.model);
    assert_true(checked_says(
        &it, "'halt_ok' is the name of more than one control variable"));
    assert_int_equal(diags_errors(it.diags), 1);
    checked_release(&it);
}

static void unwritten_is_free_unless_fixed(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, two, REVIEW(WIRED));
    assert_int_equal(checked_slot(&it, "Main.set")->driver, DRIVER_CHOICE);
    assert_int_equal(checked_slot(&it, "Main.own")->driver, DRIVER_NONE);
    checked_release(&it);
    checked_init(&it, two, REVIEW(WIRED "FIXED set := 4 BECAUSE 'sealed';"));
    assert_int_equal(checked_slot(&it, "Main.set")->driver, DRIVER_FIXED);
    assert_int_equal(checked_slot(&it, "Main.set")->initial, 4);
    assert_int_equal(it.model->n_fixed, 1);
    checked_release(&it);
}

/* docs/language.md, "Program inputs": an element behind a computed index, and
 * what a callee does with a VAR_IN_OUT, part by part. */
static const char parts[] =
    "TYPE S : STRUCT r, w, rw, no : BOOL; END_STRUCT END_TYPE\n"
    "FUNCTION Inner : BOOL\nVAR_IN_OUT x : S; END_VAR\n"
    "  x.w := x.r; x.rw := NOT x.rw; Inner := TRUE;\nEND_FUNCTION\n"
    "FUNCTION_BLOCK Outer\n"
    "VAR_IN_OUT all : ARRAY [1..2] OF S; n : INT (1..2); END_VAR\n"
    "VAR done : BOOL; END_VAR\n"
    "  done := Inner(x := all[n]);\nEND_FUNCTION_BLOCK\n"
    "PROGRAM Main\n"
    "VAR row, lent : ARRAY [1..2] OF S; i, n : INT (1..2) := 1;\n"
    "  one : S; outer : Outer; done : BOOL; END_VAR\n"
    "  FOR i := 1 TO 1 DO row[i].w := row[i].r; END_FOR;\n"
    "  n := 2; outer(all := lent, n := n);\n"
    "  done := Inner(one);\nEND_PROGRAM\n";

static void parts_are_free_one_by_one(void **state)
{
    static const char *const is_free[] = {
        "Main.row[1].r", "Main.row[2].r", "Main.lent[1].r",
        "Main.lent[2].r", "Main.one.r"};
    static const char *const own[] = {
        "Main.row[1].w",   "Main.row[2].w",   "Main.row[2].no",
        "Main.lent[1].w",  "Main.lent[2].w",  "Main.lent[1].rw",
        "Main.lent[2].rw", "Main.lent[2].no", "Main.one.w",
        "Main.one.rw",     "Main.one.no",     "Main.n"};
    struct checked it;

    (void)state;
    checked_init(&it, parts, "REVIEW P 'p'\n CONTROL 'test.st';\n"
                             "SCAN T#50ms;\nEND_REVIEW\n");
    assert_non_null(it.model);
    for (size_t i = 0; i < sizeof is_free / sizeof *is_free; i++)
        assert_int_equal(checked_slot(&it, is_free[i])->driver,
                         DRIVER_CHOICE);
    for (size_t i = 0; i < sizeof own / sizeof *own; i++)
        assert_int_equal(checked_slot(&it, own[i])->driver, DRIVER_NONE);
    checked_release(&it);
}

static void shared_is_no_input(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, two, REVIEW(WIRED "SHARED Main.own;\n"
                                    "REQUIREMENTS R1 : NEVER own = 3;\n"
                                    "END_REQUIREMENTS\n"));
    assert_non_null(it.model);
    assert_int_equal(checked_choice(&it, CHOICE_SHARED, "Main.own")->count,
                     3);
    assert_false(checked_slot(&it, "Main.own")->input);
    checked_release(&it);
}

static void refused(const char *review, const char *message)
{
    struct checked it;

    checked_init(&it, two, review);
    assert_null(it.model);
    assert_true(checked_says(&it, message));
    assert_int_equal(diags_errors(it.diags), 1);
    checked_release(&it);
}

static void refusals(void **state)
{
    (void)state;
    refused(REVIEW("WIRING IN\n Main.halt_ok := halt_ok;\n"
                   " Aux.halt_ok := halt_ok; own := 2;\nEND_WIRING\n"),
            "'own' is assigned by the control text too");
    refused(REVIEW(WIRED "RECORDER R VAR n : BOOL; END_VAR n := later;\n"
                         "END_RECORDER\nRECORDER S VAR later : BOOL; END_VAR\n"
                         " later := go; END_RECORDER\n"),
            "'later' belongs to a RECORDER that runs later");
    refused(REVIEW(WIRED "REQUIREMENTS R1 : NEVER READ own = 1;\n"
                         "END_REQUIREMENTS\n"),
            "'own' is not an input");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wiring_drives_inputs),
        cmocka_unit_test(two_programs_need_wiring),
        cmocka_unit_test(unwritten_is_free_unless_fixed),
        cmocka_unit_test(parts_are_free_one_by_one),
        cmocka_unit_test(shared_is_no_input),
        cmocka_unit_test(refusals)};

    return cmocka_run_group_tests_name("bind", tests, NULL, NULL);
}
