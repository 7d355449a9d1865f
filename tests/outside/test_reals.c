/* REALs that functions hand on: small texts whose verdicts were worked out by
 * hand.
 *
 * Sources.  SEL, MUX, LIMIT, MIN, MAX: IEC 61131-3, tables of the functions
 * for selection; LIMIT is MIN(MAX(IN, MN), MX).  What MIN and MAX make of
 * not-a-number it leaves open; IEEE 754 editions differ in it, too (minNum
 * of 2008, minimum of 2019; from memory).  REAL_TO_INT: the standard refers to
 * IEC 60559, to nearest and halves to even; TRUNC: towards zero. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/trial.h"

struct row {
    const char *name;
    const char *control; /* what PROGRAM Main does */
    const char *asked;
    enum verdict verdict;
    uint32_t length; /* of the sequence */
};

static const struct row rows[] = {
    {"SEL gives one of its values",
     "m := SEL(a, load, limit); q := m >= 50.0;",
     "q ONLY IF Main.load >= 50.0 OR Main.limit >= 50.0", VERDICT_KEPT, 0},
    {"SEL gives the one that is selected",
     "m := SEL(a, load, 10.0); q := m >= 50.0;",
     "NEVER q AND a", VERDICT_KEPT, 0},
    {"the other one is large",
     "m := SEL(a, 10.0, load); q := m >= 50.0;",
     "NEVER q", VERDICT_BROKEN, 1},
    {"MUX gives the one of that number",
     "q := MUX(SEL(a, 0, 2), 10.0, load, 20) >= 15.0;",
     "q ONLY IF a", VERDICT_KEPT, 0},
    {"LIMIT keeps below its upper limit",
     "q := LIMIT(0.0, load, 40.0) >= 50.0 OR a;",
     "q ONLY IF a", VERDICT_KEPT, 0},
    {"LIMIT hands on what lies between",
     "q := LIMIT(0.0, load, 100.0) >= 50.0;",
     "q ONLY IF NOT (Main.load < 50.0)", VERDICT_KEPT, 0},
    {"what is beyond comes to the limit",
     "q := LIMIT(0.0, load, 60.0) >= 50.0;",
     "Main.load > 70.0 ONLY IF q", VERDICT_KEPT, 0},
    {"not-a-number can come to any of them",
     "q := LIMIT(0.0, load, 60.0) >= 50.0;",
     "q ONLY IF Main.load >= 50.0", VERDICT_NOT_DECIDED, 1},
    {"MIN is below both",
     "m := MIN(load, limit); q := m >= 50.0 AND load >= 0.0 "
     "AND limit >= 0.0;",
     "q ONLY IF Main.load >= 50.0 AND Main.limit >= 50.0", VERDICT_KEPT, 0},
    {"MAX of three",
     "q := MAX(load, limit, 20.0) < 20.0 AND load >= 0.0 AND "
     "limit >= 0.0 OR a;",
     "q ONLY IF a", VERDICT_KEPT, 0},
    {"a constant that is stored meets a variable",
     "m := SEL(a, 30.0, 20.0); q := m > limit;",
     "q ONLY IF Main.limit < 30.0", VERDICT_KEPT, 0},
    {"it is less than the other one at times",
     "m := SEL(a, 30.0, 20.0); q := m > limit;",
     "q ONLY IF Main.limit < 20.0", VERDICT_BROKEN, 1},
    {"MOVE hands it on",
     "m := MOVE(load); q := m >= 50.0;",
     "q ONLY IF Main.load >= 50.0", VERDICT_KEPT, 0},
    {"a constant that is rounded",
     "n := REAL_TO_INT(2.5) + LREAL_TO_INT(3.5); q := n <> 6;",
     "NEVER q", VERDICT_KEPT, 0},
    {"halves below zero",
     "n := REAL_TO_INT(-2.5) + REAL_TO_INT(-1.5); q := n <> -4;",
     "NEVER q", VERDICT_KEPT, 0},
    {"what is rounded meets a constant",
     "n := REAL_TO_INT(load); q := n >= 50 AND load >= 0.0 AND load <= 90.0;",
     "q ONLY IF Main.load >= 49.5", VERDICT_KEPT, 0},
    {"49.5 becomes 50, and not 49",
     "n := REAL_TO_INT(load); q := n >= 50 AND load >= 0.0 AND load <= 90.0;",
     "q ONLY IF Main.load > 49.5", VERDICT_BROKEN, 1},
    {"50.5 becomes 50, and not 51",
     "n := REAL_TO_INT(load); q := n >= 51 AND load >= 0.0 AND load <= 90.0;",
     "q ONLY IF Main.load > 50.5", VERDICT_KEPT, 0},
    {"TRUNC cuts",
     "q := TRUNC(load) >= 50 AND load >= 0.0 AND load <= 90.0;",
     "q ONLY IF Main.load >= 50.0", VERDICT_KEPT, 0},
    {"TRUNC cuts towards zero",
     "q := TRUNC(load) > -50 AND load <= 0.0 AND load >= -90.0;",
     "q ONLY IF Main.load > -50.0", VERDICT_KEPT, 0},
    {"what lies between is any of a few",
     "n := REAL_TO_INT(LIMIT(10.5, load, 20.0)); "
     "q := n < INT#10 OR n > INT#20; q := q AND load >= 0.0;",
     "NEVER q", VERDICT_KEPT, 0},
    {"each of them can be reached",
     "n := REAL_TO_INT(LIMIT(10.5, load, 20.0)); "
     "q := n = 17 AND load >= 0.0;",
     "NEVER q", VERDICT_BROKEN, 1},
    {"each number counts where it is computed with",
     "s := REAL_TO_USINT(LIMIT(10.5, load, 20.0)); "
     "q := USINT_TO_INT(s) + 1 > 20 AND load >= 0.0;",
     "q ONLY IF Main.load >= 19.5", VERDICT_KEPT, 0},
    {"what does not fit can be anything",
     "n := REAL_TO_INT(load); q := n >= 50;",
     "q ONLY IF Main.load >= 49.5", VERDICT_NOT_DECIDED, 1},
    {"not-a-number can be anything",
     "n := REAL_TO_INT(LIMIT(0.0, load, 40.0)); q := n >= 50;",
     "NEVER q", VERDICT_NOT_DECIDED, 1},
    {"CASE over what is rounded",
     "q := FALSE; CASE REAL_TO_INT(load) OF 1..3: q := TRUE; END_CASE;",
     "q ONLY IF Main.load >= 0.5 AND Main.load <= 3.5", VERDICT_NOT_DECIDED,
     1},
    {"CASE over what is rounded and fits",
     "q := FALSE; IF load > -9.0 AND load < 9.0 THEN\n"
     "CASE REAL_TO_INT(load) OF 1..3: q := TRUE; END_CASE; END_IF;",
     "q ONLY IF Main.load > 0.5 AND Main.load < 3.5", VERDICT_KEPT, 0},
    {"a REAL in an LREAL",
     "w := SEL(a, load, 0.1); q := w > 0.25;",
     "q ONLY IF Main.load > 0.25", VERDICT_KEPT, 0},
};

enum { ROWS = sizeof rows / sizeof *rows };

static void functions_of_reals(void **state)
{
    const struct row *row = *state;
    struct text control = {0}, review = {0};
    struct trial trial;

    text_printf(&control,
                "PROGRAM Main\nVAR_INPUT a : BOOL; load, limit : REAL; "
                "END_VAR\nVAR m : REAL; w : LREAL; n : INT; "
                "s : USINT; q : BOOL; END_VAR\n"
                "%s\nEND_PROGRAM\n", row->control);
    text_printf(&review,
                "REVIEW Scale 'invented'\nSCAN T#100ms;\n"
                "REQUIREMENTS\n  R1 'asked' : %s;\nEND_REQUIREMENTS\n"
                "END_REVIEW\n", row->asked);
    trial_open(&trial, text_str(&control), text_str(&review));
    trial_judges(&trial, "R1", row->verdict, row->length);
    trial_close(&trial);
    text_release(&control);
    text_release(&review);
}

int main(void)
{
    struct CMUnitTest tests[ROWS];

    for (size_t i = 0; i < ROWS; i++)
        tests[i] = (struct CMUnitTest){rows[i].name, functions_of_reals,
                                       NULL, NULL, (void *)&rows[i]};
    return _cmocka_run_group_tests("reals", tests, ROWS, NULL, NULL);
}
