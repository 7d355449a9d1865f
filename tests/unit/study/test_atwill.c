/* What follows from the assumptions, from the mechanism or from the wiring
 * alone, on small texts. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/trial.h"

#define HEAD                                                               \
    "REVIEW Small 'invented'\nSCAN T#100ms;\nCONTROLS\n"                    \
    "  a : BUTTON 'a'; b : BUTTON 'b'; ok : STOP 'ok' CONTACTS OPENING;\n" \
    "  y : VALVE 'y'; z : VALVE 'z';\nEND_CONTROLS\n"

#define CONTROL                                                            \
    "PROGRAM Main VAR_INPUT a, b, ok : BOOL; END_VAR\n"                     \
    "VAR_OUTPUT y, z : BOOL; END_VAR VAR m, n : BOOL; k : INT; END_VAR\n"

static const char both[] = CONTROL
    "  y := a AND b; z := a AND NOT b; m := a; n := FALSE;\n"
    "  IF a AND k < 3 THEN k := k + 1; ELSE k := 0; END_IF;\nEND_PROGRAM\n";

/* Two texts and one requirement R1. */
static void judged(const char *control, const char *between,
                   const char *requirement, enum verdict verdict,
                   enum part part)
{
    struct text review = {0};
    struct trial trial;

    text_printf(&review, HEAD "%sREQUIREMENTS\n  R1 'it' : %s;\n"
                         "END_REQUIREMENTS\nEND_REVIEW\n",
                between, requirement);
    trial_open(&trial, control, text_str(&review));
    trial_judges(&trial, "R1", verdict, 0);
    if (trial.findings->requirements[0].part != part)
        fail_msg("%s: part %d, not %d", requirement,
                 (int)trial.findings->requirements[0].part, (int)part);
    trial_close(&trial);
    text_release(&review);
}

#define ASSUME(text)                                                       \
    "ASSUMPTIONS A1 'one' : " text " BECAUSE 'invented'; END_ASSUMPTIONS\n"

static void from_the_assumptions(void **state)
{
    (void)state;
    judged(both, ASSUME("NOT (a AND b)"), "NEVER a AND b",
           VERDICT_NOT_TESTED, PART_NONE);
    judged(both, ASSUME("NOT (a AND b)"), "NEVER y",
           VERDICT_KEPT, PART_LOGIC);
    judged(both, ASSUME("NOT (b AND PREVIOUS y)"), "NEVER b AND PREVIOUS y",
           VERDICT_NOT_TESTED, PART_NONE);
}

#define GATE                                                               \
    "MECHANISM Gate VAR g : (S, N, R) := S; END_VAR\n"                      \
    "  MOVES g FROM S TO N IN T#300ms .. T#500ms WHILE y;\n"                \
    "  MOVES g FROM N TO S WHILE z;\nEND_MECHANISM\n"

static void from_the_mechanism(void **state)
{
    (void)state;
    judged(both, GATE, "NEVER g = R", VERDICT_NOT_TESTED, PART_NONE);
    judged(both, GATE, "g MOVES ONLY WHILE y OR z", VERDICT_NOT_TESTED,
           PART_NONE);
    judged(both, GATE, "g MOVES ONLY WHILE a", VERDICT_KEPT, PART_LOGIC);
}

/* With times it takes three scans of y; without them one. */
static void only_movement_times_keep_it(void **state)
{
    (void)state;
    judged(both,
           "MECHANISM Gate VAR g : (S, N) := S; END_VAR\n"
           "  MOVES g FROM S TO N IN T#300ms .. WHILE y;\nEND_MECHANISM\n"
           "RECORDER Count VAR n : INT (0..2); END_VAR\n"
           "  IF n < 2 THEN n := n + 1; END_IF;\nEND_RECORDER\n",
           "g <> S ONLY IF n = 2", VERDICT_NOT_TESTED, PART_NONE);
}

static void from_the_meaning_of_words(void **state)
{
    static const char retain[] =
        "PROGRAM Main VAR_INPUT a, b, ok : BOOL; END_VAR\n"
        "VAR_OUTPUT y, z : BOOL; END_VAR VAR RETAIN r : BOOL; END_VAR\n"
        "  r := a; y := r; z := b;\nEND_PROGRAM\n";

    (void)state;
    judged(retain, "", "NEVER warm AND cold", VERDICT_NOT_TESTED, PART_NONE);
    judged(retain, "", "NEVER y AND NOT power", VERDICT_KEPT, PART_WIRING);
    judged(retain, "", "y ONLY IF a", VERDICT_KEPT, PART_LOGIC);
    judged(both, "", "a ONLY IF a OR b", VERDICT_NOT_TESTED, PART_NONE);
}

#define WIRED                                                              \
    "WIRING OUT\n  y := COMMANDED y AND ok;\n  z := COMMANDED z;\n"         \
    "END_WIRING\n"

static void by_the_wiring_alone(void **state)
{
    (void)state;
    judged(both, WIRED, "NEVER y AND PRESSED ok", VERDICT_KEPT, PART_WIRING);
    judged(both, WIRED, "NEVER y AND z", VERDICT_KEPT, PART_LOGIC);
    judged(both, WIRED, "NEVER y AND NOT COMMANDED y", VERDICT_KEPT,
           PART_WIRING);
}

/* A fault binds an actuator, not the logic. */
static void by_what_a_fault_does(void **state)
{
    (void)state;
    judged(both, "FAULTS F1 'off' : y WIRE OFF; END_FAULTS\n",
           "NEVER y AND F1 DESPITE 1 FAULT", VERDICT_KEPT, PART_WIRING);
}

/* What programs write can be anything, also where they never change it;
 * inputs stay what they are. */
static void program_variables(void **state)
{
    (void)state;
    judged(both, "", "NEVER Main.n", VERDICT_KEPT, PART_LOGIC);
    judged(both, "", "Main.m ONLY IF a", VERDICT_KEPT, PART_LOGIC);
    judged(both, "", "ALWAYS COMMANDED y OR NOT y", VERDICT_KEPT,
           PART_WIRING);
    judged(both, "", "READ a ONLY IF a", VERDICT_NOT_TESTED, PART_NONE);
    judged(both, "", "Main.a ONLY IF a", VERDICT_NOT_TESTED, PART_NONE);
    judged(both, "", "NEVER Main.k = 7", VERDICT_KEPT, PART_LOGIC);
}

/* Types of too many values are tried with some: what breaks is broken, what
 * does not is not known. */
/* A statement that nothing leads to is one all the same. */
static void written_where_nothing_leads(void **state)
{
    (void)state;
    judged(CONTROL "  IF k > 5 AND k < 3 THEN n := TRUE; END_IF;\n"
                   "  IF a THEN k := 1; END_IF; y := n; z := b;\n"
                   "END_PROGRAM\n",
           "", "NEVER n", VERDICT_KEPT, PART_LOGIC);
}

static void too_many_values(void **state)
{
    (void)state;
    judged(both, "", "NEVER Main.k > 3", VERDICT_KEPT, PART_LOGIC);
    judged(both, "", "ALWAYS Main.k <= 32767", VERDICT_NOT_TESTED,
           PART_NONE);
    judged(both, "", "NEVER Main.k / 7 = 1234", VERDICT_KEPT,
           PART_NOT_KNOWN);
    judged(both, WIRED, "Main.k / 7 = 1234 OR y ONLY IF NOT PRESSED ok",
           VERDICT_KEPT, PART_NOT_KNOWN_WIRING);
}

static void possible_is_exempt(void **state)
{
    struct trial trial;

    (void)state;
    trial_open(&trial, both,
               HEAD "REQUIREMENTS R1 'can' : POSSIBLE a OR NOT a;\n"
                    "END_REQUIREMENTS END_REVIEW\n");
    trial_judges(&trial, "R1", VERDICT_KEPT, 1);
    assert_int_equal(trial.findings->requirements[0].part, PART_NOT_ASKED);
    trial_close(&trial);
}

/* An error of a recorder that only actuators at will bring about ends the
 * path. */
static void errors_end_paths(void **state)
{
    (void)state;
    judged(both,
           "RECORDER Note VAR n : INT (0..1); was : BOOL; END_VAR\n"
           "  was := y AND z; IF was THEN n := n + 2; END_IF;\n"
           "END_RECORDER\n",
           "NEVER was", VERDICT_NOT_TESTED, PART_NONE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(from_the_assumptions),
        cmocka_unit_test(from_the_mechanism),
        cmocka_unit_test(only_movement_times_keep_it),
        cmocka_unit_test(from_the_meaning_of_words),
        cmocka_unit_test(by_the_wiring_alone),
        cmocka_unit_test(by_what_a_fault_does),
        cmocka_unit_test(program_variables),
        cmocka_unit_test(written_where_nothing_leads),
        cmocka_unit_test(too_many_values),
        cmocka_unit_test(possible_is_exempt),
        cmocka_unit_test(errors_end_paths),
    };

    return cmocka_run_group_tests_name("at will", tests, NULL, NULL);
}
