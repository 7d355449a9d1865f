/* Which assumptions a kept requirement needs, on small texts. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/trial.h"

static const char control[] =
    "PROGRAM Main VAR_INPUT a, b, c : BOOL; END_VAR\n"
    "VAR_OUTPUT y, z : BOOL; END_VAR\nVAR n : INT (0..1); END_VAR\n"
    "  y := a AND b; z := a AND c;\n  n := 0;\n"
    "  IF a AND b AND c THEN n := 1 + n; END_IF;\nEND_PROGRAM\n";

/* For a control text, assumptions and one requirement: '-' not needed, 's' in
 * the set, 'e' needed in every set, per assumption. */
static void needs_in(const char *text, const char *assumptions,
                     const char *requirement, const char *wanted)
{
    static const char letters[] = {
        [NEED_NO] = '-', [NEED_IN_SET] = 's', [NEED_EVERY] = 'e'};
    struct text review = {0}, got = {0};
    const struct requirement_finding *found;
    struct trial trial;

    text_printf(&review, "REVIEW Small 'invented'\nSCAN T#100ms;\nCONTROLS\n"
                "  a : BUTTON 'a'; b : BUTTON 'b'; c : BUTTON 'c';\n"
                "  y : VALVE 'y'; z : VALVE 'z';\nEND_CONTROLS\n"
                "MECHANISM Gate VAR g : (S, N) := S; END_VAR\n"
                "  MOVES g FROM S TO N IN T#300ms .. WHILE y;\n"
                "  MOVES g FROM N TO S WHILE NOT y;\nEND_MECHANISM\n"
                "ASSUMPTIONS\n%sEND_ASSUMPTIONS\n"
                "RECORDER Count VAR scans : INT (0..3); END_VAR\n"
                "  IF scans < 3 THEN scans := scans + 1; END_IF;\n"
                "END_RECORDER\n"
                "REQUIREMENTS\n  R1 'it' : %s;\nEND_REQUIREMENTS\n"
                "END_REVIEW\n", assumptions, requirement);
    trial_open(&trial, text, text_str(&review));
    trial_judges(&trial, "R1", VERDICT_KEPT,
                 strncmp(requirement, "POSSIBLE", 8) == 0);
    found = &trial.findings->requirements[0];
    assert_int_equal(found->need_state, NEED_KNOWN);
    for (uint32_t a = 0; a < trial.text.model->n_assumptions; a++)
        text_printf(&got, "%c", letters[found->need[a]]);
    assert_string_equal(text_str(&got), wanted);
    trial_close(&trial);
    text_release(&review);
    text_release(&got);
}

static void needs(const char *assumptions, const char *requirement,
                  const char *wanted)
{
    needs_in(control, assumptions, requirement, wanted);
}

#define ASSUME(number, text)                                               \
    "  A" #number " 'it' : " text " BECAUSE 'invented';\n"

static void none(void **state)
{
    (void)state;
    needs(ASSUME(1, "NOT (b AND c)") ASSUME(2, "NOT (a AND c)"),
          "y ONLY IF a", "--");
}

static void every(void **state)
{
    (void)state;
    needs(ASSUME(1, "NOT (b AND c)"), "NEVER y AND z", "e");
    needs(ASSUME(1, "NOT (a AND PREVIOUS c)") ASSUME(2, "NOT (b AND c)"),
          "NEVER y AND z", "-e");
    needs(ASSUME(1, "NOT (b AND c AND g = S)")
          ASSUME(2, "NOT (b AND c AND g = N)"), "NEVER y AND z", "ee");
}

/* Two of which one is enough: the first is dropped, the second stays, and
 * neither is needed in every set. */
static void one_of_two(void **state)
{
    (void)state;
    needs(ASSUME(1, "NOT (b AND c)") ASSUME(2, "NOT (a AND b AND c)"),
          "NEVER y AND z", "-s");
}

/* What a slice does not read can still be needed to keep an error away. */
static void against_errors(void **state)
{
    static const char with_error[] =
        "PROGRAM Main VAR_INPUT a, b, c : BOOL; END_VAR\n"
        "VAR_OUTPUT y, z : BOOL; END_VAR\nVAR n : INT (0..3); END_VAR\n"
        "  y := a; n := 3;\n  IF b AND c THEN n := n + 1; END_IF;\n"
        "  z := n > 2;\nEND_PROGRAM\n";

    (void)state;
    needs_in(with_error, ASSUME(1, "NOT (b AND c)"), "y ONLY IF a", "e");
}

/* With movement times g = N takes three scans of y; without them one, so
 * that a breach found without them does not count. */
static void movement_times_count(void **state)
{
    (void)state;
    needs(ASSUME(1, "NOT (b AND c)"),
          "y OR g = N ONLY IF a AND b OR scans = 3", "-");
}

/* The second leaves no way on once c was pressed; it is the first that keeps
 * that away. */
static void against_dead_ends(void **state)
{
    (void)state;
    needs(ASSUME(1, "NOT c") ASSUME(2, "NOT PREVIOUS c")
          ASSUME(3, "NOT (a AND b AND g = N)"), "NEVER y AND g = N", "e-e");
}

static void for_a_way(void **state)
{
    (void)state;
    needs(ASSUME(1, "NOT (b AND c)"), "POSSIBLE y", "-");
    needs_in("PROGRAM Main VAR_INPUT a, b, c : BOOL; END_VAR\n"
             "VAR_OUTPUT y, z : BOOL; END_VAR\nVAR s : BOOL; END_VAR\n"
             "  IF a THEN y := TRUE; ELSIF NOT s THEN y := FALSE; END_IF;\n"
             "  s := s OR b AND c;\nEND_PROGRAM\n",
             ASSUME(1, "NOT (a AND c)") ASSUME(2, "NOT (b AND c)"),
             "ALWAYS POSSIBLE AGAIN NOT y", "-e");
}

static void quick_leaves_it_out(void **state)
{
    const struct study_setting setting = {.quick = true};
    const struct findings *findings;
    struct trial trial;

    (void)state;
    trial_open(&trial, control,
               "REVIEW Small 'invented'\nSCAN T#100ms;\nCONTROLS\n"
               "  a : BUTTON 'a'; b : BUTTON 'b'; c : BUTTON 'c';\n"
               "  y : VALVE 'y'; z : VALVE 'z';\nEND_CONTROLS\n"
               "ASSUMPTIONS A1 'it' : NOT (b AND c) BECAUSE 'invented';\n"
               "END_ASSUMPTIONS\nREQUIREMENTS\n"
               "R1 'it' : NEVER y AND z; R2 'it' : NEVER b AND c;\n"
               "END_REQUIREMENTS\nEND_REVIEW\n");
    findings = check_model(trial.arena, trial.text.model, &setting,
                           trial.text.diags);
    assert_true(findings->quick);
    assert_int_equal(findings->requirements[0].verdict, VERDICT_KEPT);
    assert_int_equal(findings->requirements[0].need_state, NEED_NOT_ASKED);
    assert_int_equal(findings->requirements[0].part, PART_LOGIC);
    assert_int_equal(findings->requirements[1].verdict, VERDICT_NOT_TESTED);
    trial_close(&trial);
}

/* Without the assumption, and with actuators at will, there are more
 * situations than the limit allows, and the breach lies behind it. */
static void a_limit_changes_no_verdict(void **state)
{
    struct study_setting setting = {0};
    const struct findings *findings;
    struct trial trial;

    (void)state;
    trial_open(&trial, control,
               "REVIEW Small 'invented'\nSCAN T#100ms;\nCONTROLS\n"
               "  a : BUTTON 'a'; b : BUTTON 'b'; c : BUTTON 'c';\n"
               "  y : VALVE 'y'; z : VALVE 'z';\nEND_CONTROLS\n"
               "ASSUMPTIONS A1 'it' : NOT (b AND c) BECAUSE 'invented';\n"
               "END_ASSUMPTIONS\nREQUIREMENTS\n"
               "R1 'it' : z ONLY IF NOT y OR NOT PREVIOUS (y AND z);\n"
               "END_REQUIREMENTS\nEND_REVIEW\n");
    findings = check_model(trial.arena, trial.text.model, &setting,
                           trial.text.diags);
    assert_int_equal(findings->requirements[0].need_state, NEED_KNOWN);
    assert_int_equal(findings->requirements[0].part, PART_LOGIC);
    setting.most_situations = findings->requirements[0].coverage.situations;
    findings = check_model(trial.arena, trial.text.model, &setting,
                           trial.text.diags);
    assert_int_equal(findings->requirements[0].verdict, VERDICT_KEPT);
    assert_int_equal(findings->requirements[0].need_state, NEED_NOT_KNOWN);
    assert_int_equal(findings->requirements[0].part, PART_NOT_KNOWN);
    trial_close(&trial);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(none),
        cmocka_unit_test(every),
        cmocka_unit_test(one_of_two),
        cmocka_unit_test(against_errors),
        cmocka_unit_test(movement_times_count),
        cmocka_unit_test(against_dead_ends),
        cmocka_unit_test(for_a_way),
        cmocka_unit_test(quick_leaves_it_out),
        cmocka_unit_test(a_limit_changes_no_verdict),
    };

    return cmocka_run_group_tests_name("need", tests, NULL, NULL);
}
