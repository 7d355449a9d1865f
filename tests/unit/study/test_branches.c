/* Branches that are looked for together: what one run says of many.  What is
 * expected is read off the small texts by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "study/branches.h"
#include "study/reads.h"
#include "tests/support/trial.h"

#define REVIEW                                                             \
    "REVIEW Small 'invented'\nSCAN T#100ms;\nCONTROLS\n"                    \
    "  a : BUTTON 'a'; b : BUTTON 'b'; y : VALVE 'y';\nEND_CONTROLS\n"

#define ANY "REQUIREMENTS\n  R1 'it' : NEVER y AND NOT y;\n" \
            "END_REQUIREMENTS\nEND_REVIEW\n"

#define CONTROL                                                            \
    "PROGRAM Main VAR_INPUT a, b : BOOL; END_VAR\n"                         \
    "VAR_OUTPUT y : BOOL; END_VAR\n"                                        \
    "VAR m, n : BOOL; k, l : INT (0..100); END_VAR\n"

enum { MOST = 120000, MOST_BRANCHES = 16 };

/* Questions to the engines in the last judging. */
static uint32_t asked;

static const char letter[] = {'t', 'n', '?'};

/* Judges with nothing seen beforehand, so that all must be asked for; a
 * letter per branch in the order of the text: taken, never, not known. */
static const char *states_of(const char *control, const char *between,
                             uint64_t most)
{
    static char line[MOST_BRANCHES + 1];
    static bool unseen[MOST_BRANCHES];
    const struct rehearsal nothing = {.branch = unseen};
    struct text review = {0};
    const enum branch_state *states;
    struct trial trial;
    uint32_t n;

    text_printf(&review, REVIEW "%s" ANY, between);
    trial_open(&trial, control, text_str(&review));
    n = trial.study.model->n_branches;
    assert_true(n <= MOST_BRANCHES);
    states = branches_judge(&trial.study, &nothing, most);
    for (uint32_t i = 0; i < n; i++)
        line[i] = letter[states[i]];
    line[n] = '\0';
    asked = trial.study.asked.sets + trial.study.asked.tiles;
    trial_close(&trial);
    text_release(&review);
    return line;
}

/* m follows a, so all four lean on the same; none needs a run of its own. */
static void one_run_for_equal_slices(void **state)
{
    (void)state;
    assert_string_equal(states_of(CONTROL
        "  IF a AND m THEN y := TRUE; END_IF;\n"
        "  IF m AND n THEN y := FALSE; END_IF;\n"
        "  IF NOT m AND n THEN y := FALSE; END_IF;\n"
        "  IF NOT a AND m AND NOT n THEN y := TRUE; END_IF;\n"
        "  n := m; m := a; n := n AND m;\nEND_PROGRAM\n", "", MOST), "ttnt");
    assert_int_equal(asked, 1);
}

/* n is never set: what hangs on it is never reached, whether the branch
 * stands in the smaller slice or in the larger one. */
static void never_reached_in_small_and_large_slices(void **state)
{
    (void)state;
    assert_string_equal(states_of(CONTROL
        "  n := n AND a;\n"
        "  IF n THEN y := TRUE; END_IF;\n"
        "  IF a THEN k := (k + 1) MOD 5; ELSE k := 0; END_IF;\n"
        "  IF k = 4 THEN y := FALSE; END_IF;\n"
        "  IF k = 5 THEN y := FALSE; END_IF;\n"
        "  IF k = 3 AND n THEN y := FALSE; END_IF;\n"
        "  l := k; m := l = 4;\n"
        "  IF m AND k = 3 THEN y := TRUE; END_IF;\nEND_PROGRAM\n", "",
        MOST), "ntttnnn");
}

/* The condition is a constant: no engine is asked. */
static void constants_are_not_asked_for(void **state)
{
    (void)state;
    assert_string_equal(states_of(CONTROL
        "  IF a AND NOT a THEN y := TRUE; END_IF;\nEND_PROGRAM\n", "",
        MOST), "n");
    assert_int_equal(asked, 0);
}

#define ASSUME(text)                                                       \
    "ASSUMPTIONS A1 'one' : " text " BECAUSE 'invented'; END_ASSUMPTIONS\n"

/* An assumption about b is none of what a leads to; where it leaves no way to
 * go on after a few scans, it ends only runs that read b, and what a leads
 * to is asked for by itself. */
static void assumptions_of_one_end_no_other(void **state)
{
    static const char control[] = CONTROL
        "  IF a AND m THEN y := TRUE; END_IF;\n"
        "  IF b AND n THEN y := FALSE; END_IF;\n"
        "  m := a; n := b;\nEND_PROGRAM\n";
    static const char later[] = CONTROL
        "  IF a AND k = 4 THEN y := TRUE; END_IF;\n"
        "  IF b AND l = 4 THEN y := FALSE; END_IF;\n"
        "  k := (k + 1) MOD 9; l := (l + 1) MOD 9;\nEND_PROGRAM\n";

    (void)state;
    assert_string_equal(states_of(later, "", MOST), "tt");
    assert_string_equal(states_of(control, "", MOST), "tt");
    assert_string_equal(states_of(control, ASSUME("NOT b"), MOST), "tn");
    assert_string_equal(states_of(later,
        "RECORDER Past VAR c : INT (0..9); END_VAR\n"
        "  IF c < 2 THEN c := c + 1; END_IF;\nEND_RECORDER\n"
        ASSUME("PREVIOUS c < 1 OR b AND PREVIOUS c = 2"), MOST),
        "tn");
}

/* Without work nothing is known, with little the small ones; and the same
 * again each time. */
static void a_bound_of_work(void **state)
{
    static const char control[] = CONTROL
        "  IF a AND m THEN y := TRUE; END_IF; m := a;\n"
        "  IF b THEN k := (k + 1) MOD 101; l := (l + k) MOD 101; END_IF;\n"
        "  IF k = 50 AND l = 77 AND b THEN y := FALSE; END_IF;\n"
        "END_PROGRAM\n";
    char first[MOST_BRANCHES + 1];

    (void)state;
    assert_string_equal(states_of(control, "", 0), "???");
    assert_string_equal(states_of(control, "", 200), "tt?");
    strcpy(first, states_of(control, "", 200));
    for (unsigned i = 0; i < 4; i++)
        assert_string_equal(states_of(control, "", 200), first);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_run_for_equal_slices),
        cmocka_unit_test(never_reached_in_small_and_large_slices),
        cmocka_unit_test(constants_are_not_asked_for),
        cmocka_unit_test(assumptions_of_one_end_no_other),
        cmocka_unit_test(a_bound_of_work),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
