/* What is left open: REALs exact, kept whatever comes out, broken without
 * leaning, not decided with the place named.  The machines are invented. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "check/model.h"
#include "reference/replay.h"
#include "source/source.h"
#include "tests/support/trial.h"

/* Line 1 holds the inputs; the statements stand from line 5 on. */
#define CONTROL(statements)                                                \
    "PROGRAM Main VAR_INPUT load, most : REAL; go : BOOL; END_VAR\n"       \
    "VAR_OUTPUT up, down : BOOL; END_VAR\n"                                \
    "VAR copy : REAL := 2.5; t : STRING[8]; n : INT; k : INT (0..3);\n"    \
    "guess : Guess; END_VAR\n" statements "END_PROGRAM\n"                  \
    "FUNCTION_BLOCK Guess VAR_INPUT i : REAL; END_VAR\n"                   \
    "VAR_OUTPUT q : BOOL; v : REAL; END_VAR END_FUNCTION_BLOCK\n"          \
    "FUNCTION Over : BOOL VAR_INPUT a, b : REAL; END_VAR\n"                \
    "Over := a >= b; END_FUNCTION\n"

static void open_trial(struct trial *trial, const char *control,
                       const char *assumption, const char *requirement)
{
    const struct study_setting setting = {.engine = ENGINE_BOTH};
    struct text review = {0};

    text_printf(&review,
                "REVIEW Small 'invented'\nSCAN T#100ms;\nUNKNOWN Guess;\n"
                "CONTROLS\n  load : NUMBER 'load'; go : BUTTON 'go';\n"
                "  up : VALVE 'up'; down : VALVE 'down';\nEND_CONTROLS\n"
                "ASSUMPTIONS\n%s%s%sEND_ASSUMPTIONS\n"
                "REQUIREMENTS\n  R1 'it' : %s;\nEND_REQUIREMENTS\n"
                "END_REVIEW\n", *assumption ? "A1 'it' : " : "", assumption,
                *assumption ? " BECAUSE 'invented';\n" : "", requirement);
    trial_open(trial, control, text_str(&review));
    trial->findings = check_model(trial->arena, trial->text.model, &setting,
                                  trial->text.diags);
    assert_non_null(trial->findings);
    assert_null(trial->findings->internal_error);
    text_release(&review);
}

static const struct requirement_finding *finding_of(const struct trial *trial)
{
    return &trial->findings->requirements[0];
}

static void says(const char *control, const char *assumption,
                 const char *requirement, enum verdict verdict)
{
    struct trial trial;

    open_trial(&trial, control, assumption, requirement);
    if (finding_of(&trial)->verdict != verdict)
        print_message("%s: %s\n", requirement,
                      verdict_words(finding_of(&trial)->verdict));
    assert_int_equal(finding_of(&trial)->verdict, verdict);
    trial_close(&trial);
}

/* Not decided, leaning on exactly one place, on this line. */
static void leans(const char *control, const char *requirement,
                  uint32_t line)
{
    const struct requirement_finding *finding;
    struct trial trial;
    struct span span;

    open_trial(&trial, control, "", requirement);
    finding = finding_of(&trial);
    assert_int_equal(finding->verdict, VERDICT_NOT_DECIDED);
    assert_int_equal(finding->stop, STOP_LEANS);
    assert_int_equal(finding->leaning.n, 1);
    assert_non_null(finding->sequence);
    span = trial.text.model->open_places[finding->leaning.places[0]].span;
    assert_int_equal(sources_place(trial.text.sources, span).line, line);
    assert_int_equal(findings_exit_code(trial.findings), 3);
    trial_close(&trial);
}

static void constants_are_exact(void **state)
{
    static const char copies[] = CONTROL(
        "copy := load; up := go AND copy < 11500.0;\n"
        "down := load >= 11500.0;\n");

    (void)state;
    says(copies, "", "NEVER up AND down", VERDICT_KEPT);
    says(copies, "", "NEVER up AND load >= 11500.0", VERDICT_KEPT);
    says(copies, "", "NEVER up AND load >= 12000", VERDICT_KEPT);
    says(copies, "", "NEVER up AND load >= 11499.5", VERDICT_BROKEN);
    says(copies, "", "NEVER down AND load = 11500.0", VERDICT_BROKEN);
    says(copies, "load <> 11500.0", "NEVER down AND load <= 11500.0",
         VERDICT_KEPT);
}

static void not_a_number(void **state)
{
    static const char both[] =
        CONTROL("up := load < 2.5; down := load >= 2.5;\n");

    (void)state;
    says(both, "", "ALWAYS up OR down OR go", VERDICT_BROKEN);
    says(both, "load <= 0.0 OR load >= 0.0", "ALWAYS up OR down OR go",
         VERDICT_NOT_TESTED);
    says(both, "load <= 0.0 OR load >= 0.0", "NEVER NOT up AND NOT down",
         VERDICT_KEPT);
}

/* 0.1 as REAL is more than 0.1 as LREAL: from the format of IEEE 754,
 * binary32 and binary64 (0.1 rounds to 0.100000001490116...). */
static void rounding(void **state)
{
    static const char narrow[] =
        CONTROL("up := load = 0.1 AND go;\n"
                "down := REAL_TO_LREAL(load) > LREAL#0.1;\n");

    (void)state;
    says(narrow, "", "NEVER up AND NOT down", VERDICT_KEPT);
    says(narrow, "", "NEVER up AND REAL_TO_LREAL(load) <= LREAL#0.1",
         VERDICT_KEPT);
}

static void two_reals(void **state)
{
    static const char pair[] =
        CONTROL("up := load < most; down := load > most;\n");

    (void)state;
    says(pair, "", "NEVER up AND down", VERDICT_KEPT);
    says(pair, "", "NEVER up AND load >= most", VERDICT_KEPT);
    says(pair, "", "NEVER up AND load > 2.5 AND most < 2.5", VERDICT_KEPT);
    says(pair, "", "NEVER up AND most > 2.5", VERDICT_BROKEN);
    leans(CONTROL("\n\nup := load > most + 1.0;\n"), "NEVER up", 7);
}

static void whatever_comes_out(void **state)
{
    static const char guarded[] =
        CONTROL("up := go AND load * 2.0 > most; down := t = 'x' AND NOT up;\n"
                "guess(i := load); IF guess.q THEN down := FALSE; END_IF;\n");

    (void)state;
    says(guarded, "", "NEVER up AND NOT go", VERDICT_KEPT);
    says(guarded, "", "NEVER up AND down", VERDICT_KEPT);
    leans(guarded, "NEVER up AND go", 5);
    leans(CONTROL("\n  up := LEN(t) > 3;\n"), "NEVER up", 6);
    leans(CONTROL("up := t = 'x';\n"), "NEVER up", 5);
    leans(CONTROL("n := REAL_TO_INT(load * 2.0); up := n > 7;\n"),
          "NEVER up", 5);
    says(CONTROL("n := REAL_TO_INT(load); up := n > 7;\n"), "", "NEVER up",
         VERDICT_BROKEN);
}

/* Both sides do the same, a loop of two scans hides it. */
static void broken_without_leaning(void **state)
{
    static const char either[] =
        CONTROL("IF load + 1.0 > most THEN up := go; ELSE up := go; END_IF;\n"
                "down := up OR t = 'x';\n");
    struct trial trial;

    (void)state;
    says(either, "", "NEVER up", VERDICT_BROKEN);
    says(either, "", "NEVER down", VERDICT_BROKEN);
    open_trial(&trial, either, "", "NEVER down");
    assert_int_equal(finding_of(&trial)->sequence->n_scans, 1);
    assert_int_equal(finding_of(&trial)->leaning.n, 0);
    trial_close(&trial);
    /* the shortest that leans has one scan, the shortest sure one two */
    open_trial(&trial, CONTROL("up := down OR t = 'x'; down := go;\n"), "",
               "NEVER up");
    assert_int_equal(finding_of(&trial)->verdict, VERDICT_BROKEN);
    assert_int_equal(finding_of(&trial)->sequence->n_scans, 2);
    assert_int_equal(findings_exit_code(trial.findings), 1);
    trial_close(&trial);
}

static void unknown_blocks(void **state)
{
    (void)state;
    leans(CONTROL("guess(i := load); up := guess.q;\n"), "NEVER up", 8);
    says(CONTROL("guess(i := load); up := guess.q AND go;\n"), "",
         "up ONLY IF go", VERDICT_KEPT);
    says(CONTROL("IF go THEN guess(i := load); END_IF; up := guess.q;\n"), "",
         "RISING up ONLY IF go", VERDICT_KEPT);
    says(CONTROL("guess(i := load); up := guess.v < 2.5 AND go;\n"
                 "down := guess.v >= 2.5;\n"), "", "NEVER up AND down",
         VERDICT_KEPT);
}

static void functions(void **state)
{
    (void)state;
    says(CONTROL("up := Over(a := load, b := 2.5) AND go;\n"
                 "down := load < 2.5;\n"), "", "NEVER up AND down",
         VERDICT_KEPT);
    leans(CONTROL("up := Over(a := SQRT(load), b := 2.5);\n"), "NEVER up", 5);
}

static void ways(void **state)
{
    (void)state;
    says(CONTROL("up := go AND t = 'x';\n"), "", "POSSIBLE up",
         VERDICT_NOT_DECIDED);
    says(CONTROL("up := go AND (t = 'x' OR load > 2.5);\n"), "",
         "POSSIBLE up", VERDICT_KEPT);
    says(CONTROL("up := go AND NOT go AND t = 'x';\n"), "", "POSSIBLE up",
         VERDICT_BROKEN);
    says(CONTROL("up := down AND go; IF t = 'x' THEN down := FALSE; ELSE "
                 "down := down AND go; END_IF;\n"), "", "POSSIBLE up",
         VERDICT_BROKEN);
    says(CONTROL("IF t = 'x' THEN down := TRUE; END_IF; up := go AND NOT "
                 "down;\n"), "", "ALWAYS POSSIBLE AGAIN up",
         VERDICT_NOT_DECIDED);
}

static void run_time_errors(void **state)
{
    struct trial trial;

    (void)state;
    open_trial(&trial, CONTROL("IF t = 'x' THEN n := 0; ELSE n := 1; END_IF;"
                               "\nk := 3 / n; up := go;\n"), "",
               "up ONLY IF go");
    assert_int_equal(trial.findings->n_errors, 1);
    assert_int_equal(trial.findings->errors[0].verdict, VERDICT_NOT_DECIDED);
    assert_int_equal(trial.findings->errors[0].leaning.n, 1);
    assert_int_equal(finding_of(&trial)->verdict, VERDICT_NOT_DECIDED);
    assert_int_equal(finding_of(&trial)->stop, STOP_ERROR_LEANS);
    assert_int_equal(findings_exit_code(trial.findings), 3);
    trial_close(&trial);
    open_trial(&trial, CONTROL("IF t = 'x' THEN n := 1; ELSE n := 2; END_IF;"
                               "\nIF go THEN n := 0; END_IF;\n"
                               "k := 3 / n; up := go;\n"), "",
               "up ONLY IF go");
    assert_int_equal(trial.findings->errors[0].verdict, VERDICT_BROKEN);
    assert_int_equal(finding_of(&trial)->stop, STOP_ERROR);
    trial_close(&trial);
}

/* It may break sooner if what is not followed comes out so: that is not sure,
 * and what is sure is told. */
static void sure_later_than_perhaps(void **state)
{
    struct trial trial;

    (void)state;
    open_trial(&trial,
               CONTROL("guess(i := load); copy := guess.v;\n"
                       "up := n > 0; n := SEL(go, n, 1);\n"),
               "", "ALWAYS copy > 2.5 AND NOT up");
    assert_int_equal(finding_of(&trial)->verdict, VERDICT_BROKEN);
    assert_int_equal(finding_of(&trial)->sequence->n_scans, 2);
    trial_close(&trial);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(constants_are_exact),
        cmocka_unit_test(not_a_number),
        cmocka_unit_test(rounding),
        cmocka_unit_test(two_reals),
        cmocka_unit_test(whatever_comes_out),
        cmocka_unit_test(broken_without_leaning),
        cmocka_unit_test(sure_later_than_perhaps),
        cmocka_unit_test(unknown_blocks),
        cmocka_unit_test(functions),
        cmocka_unit_test(ways),
        cmocka_unit_test(run_time_errors),
    };

    return cmocka_run_group_tests_name("lean", tests, NULL, NULL);
}
