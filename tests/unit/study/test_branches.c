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

static const char letter[] = {'t', 'n', '?', 'f', 'o'};

/* The same letters of the stretches of statements in the last judging, and the
 * causes named for its branches, "-" for none. */
static char stretches[MOST_BRANCHES + 1];
static char causes[8 * MOST_BRANCHES];

static void note_causes(const struct model *model, const struct taken *taken)
{
    causes[0] = '\0';
    for (uint32_t i = 0; i < model->n_branches; i++) {
        const struct cause_set *by = &taken->branch_by[i];

        strcat(causes, by->n == 0 ? "-"
                                  : model->causes[by->causes[0]]
                                        .name->spelling);
    }
}

/* Judges with nothing seen beforehand, so that all must be asked for; a
 * letter per branch in the order of the text: taken, never, not known, only
 * with a fault, with one and perhaps without. */
static const char *states_of(const char *control, const char *between,
                             uint64_t most)
{
    static char line[MOST_BRANCHES + 1];
    static bool unseen[MOST_BRANCHES];
    const struct rehearsal nothing = {.branch = unseen, .stretch = unseen};
    struct text review = {0};
    const struct taken *taken;
    struct trial trial;
    const struct model *model;

    text_printf(&review, REVIEW "%s" ANY, between);
    trial_open(&trial, control, text_str(&review));
    model = trial.study.model;
    assert_true(model->n_branches <= MOST_BRANCHES);
    assert_true(model->n_stretches <= MOST_BRANCHES);
    taken = branches_judge(&trial.study, &nothing, most);
    for (uint32_t i = 0; i < model->n_branches; i++)
        line[i] = letter[taken->branch[i]];
    line[model->n_branches] = '\0';
    for (uint32_t i = 0; i < model->n_stretches; i++)
        stretches[i] = letter[taken->stretch[i]];
    stretches[model->n_stretches] = '\0';
    note_causes(model, taken);
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

#define BOTH_CONTACTS                                                      \
    "CONTROLS c : BUTTON 'c' CONTACTS c_on CLOSING, c_off OPENING;\n"       \
    "  d : BUTTON 'd' CONTACTS d_on CLOSING, d_off OPENING;\n"              \
    "END_CONTROLS\n"                                                        \
    "FAULTS F1 : c_on DOES NOT OPEN; F2 : d_on DOES NOT OPEN;\n"            \
    "  F3 : d_off DOES NOT OPEN; END_FAULTS\n"

/* Sound contacts never conduct both; with one fault one pair does, and with
 * one fault never both pairs. */
static void only_with_a_fault(void **state)
{
    (void)state;
    assert_string_equal(states_of(
        "PROGRAM Main VAR_INPUT a, b, c_on, c_off, d_on, d_off : BOOL;\n"
        "END_VAR VAR_OUTPUT y : BOOL; END_VAR\n"
        "  IF c_on AND c_off THEN y := a; END_IF;\n"
        "  IF c_on AND NOT d_on THEN y := b; END_IF;\n"
        "  IF c_on AND c_off AND d_on AND d_off THEN y := TRUE; END_IF;\n"
        "  IF d_on AND d_off THEN y := FALSE; y := a; END_IF;\n"
        "END_PROGRAM\n", BOTH_CONTACTS, MOST), "ftnf");
    assert_string_equal(stretches, "tftnf");
    assert_string_equal(causes, "F1--F2");
}

/* What stands behind a way out is reached where that was not taken. */
static void statements_behind_a_return(void **state)
{
    (void)state;
    assert_string_equal(states_of(CONTROL
        "  y := FALSE;\n"
        "  IF a THEN RETURN; END_IF;\n"
        "  y := b;\n"
        "  m := m AND b;\n"
        "  IF NOT m THEN RETURN; END_IF;\n"
        "  y := TRUE; n := TRUE;\nEND_PROGRAM\n", "", MOST), "tt");
    assert_string_equal(stretches, "tttt" "n");
}

/* A block nobody calls but where nothing gets. */
static void a_block_that_is_not_called(void **state)
{
    (void)state;
    assert_string_equal(states_of(
        "FUNCTION_BLOCK Never VAR_OUTPUT q : BOOL; END_VAR\n"
        "  q := NOT q; q := NOT q;\nEND_FUNCTION_BLOCK\n"
        "PROGRAM Main VAR_INPUT a, b : BOOL; END_VAR\n"
        "VAR_OUTPUT y : BOOL; END_VAR VAR f : Never; m : BOOL; END_VAR\n"
        "  m := m AND a;\n"
        "  IF m THEN f(); END_IF;\n"
        "  y := b;\nEND_PROGRAM\n", "", MOST), "n");
    assert_string_equal(stretches, "ntn");
}

/* y is on for one scan in all, the way takes three: no fault leads there
 * either, though it would if the movement could take any time. */
static void movement_times_count_with_a_fault(void **state)
{
    (void)state;
    assert_string_equal(states_of(
        "PROGRAM Main VAR_INPUT a, b, s : BOOL; END_VAR\n"
        "VAR_OUTPUT y : BOOL; END_VAR VAR done, z : BOOL; END_VAR\n"
        "  y := a AND NOT done; done := done OR y;\n"
        "  IF s THEN z := TRUE; END_IF;\nEND_PROGRAM\n",
        "  CONTROLS s : SENSOR 's' ON WHEN pos = Far; END_CONTROLS\n"
        "  MECHANISM Slide VAR pos : (Near, Far) := Near; END_VAR\n"
        "  MOVES pos FROM Near TO Far IN T#300ms .. WHILE y;\n"
        "  END_MECHANISM\n"
        "  FAULTS F1 : a DOES NOT OPEN; END_FAULTS\n"
        "  REQUIREMENTS R0 'with a fault' : NEVER b AND NOT b "
        "DESPITE 1 FAULT; END_REQUIREMENTS\n", MOST), "n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_run_for_equal_slices),
        cmocka_unit_test(never_reached_in_small_and_large_slices),
        cmocka_unit_test(constants_are_not_asked_for),
        cmocka_unit_test(assumptions_of_one_end_no_other),
        cmocka_unit_test(a_bound_of_work),
        cmocka_unit_test(only_with_a_fault),
        cmocka_unit_test(statements_behind_a_return),
        cmocka_unit_test(a_block_that_is_not_called),
        cmocka_unit_test(movement_times_count_with_a_fault),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
