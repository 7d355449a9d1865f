/* Scans that take any time of a range, and programs that do not run in every
 * scan: by hand through both implementations, then judged. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "present/conditions.h"
#include "present/script.h"
#include "present/verdict.h"
#include "study/outing.h"
#include "study/scenario.h"
#include "tests/support/trial.h"

/* 80, 90 .. 130 ms: the value indices 0 .. 5 of "elapsed". */
enum { SHORTEST = 0, LONGEST = 5 };

static const char timers[] =
    "PROGRAM Main VAR_INPUT a : BOOL; END_VAR\n"
    "VAR_OUTPUT lit, tail, pulse : BOOL; END_VAR\n"
    "VAR t1 : TON; t2 : TOF; t3 : TP; hit : BOOL; END_VAR\n"
    "  t1(IN := a, PT := T#300ms, Q => lit);\n"
    "  t2(IN := a, PT := T#300ms, Q => tail);\n"
    "  t3(IN := a, PT := T#300ms, Q => pulse);\n"
    "  hit := t1.ET = T#100ms;\n"
    "END_PROGRAM\n";

static const char controls[] =
    "CONTROLS a : BUTTON 'a'; lit : LAMP 'lit'; tail : LAMP 'tail';\n"
    "  pulse : LAMP 'pulse'; END_CONTROLS\n";

static void open_with(struct trial *trial, const char *control,
                      const char *scan, const char *rest)
{
    struct text review = {0};

    text_printf(&review, "REVIEW Small 'invented'\n%s%sEND_REVIEW\n", scan,
                rest);
    trial_open(trial, control, text_str(&review));
    text_release(&review);
}

static void open_timers(struct trial *trial, const char *scan,
                        const char *rest)
{
    struct text all = {0};

    text_printf(&all, "%s%s", controls, rest);
    open_with(trial, timers, scan, text_str(&all));
    text_release(&all);
}

static void pace(struct trial *trial, uint32_t index)
{
    text_model_choose(&trial->text, "elapsed", index);
}

/* ---- timers ---- */

/* Pressed in the first scan; then the scans at which each timer is first
 * seen to have reached 300 ms, with `index` in every scan. */
static void reaches_in(uint32_t index, unsigned wanted)
{
    struct trial trial;
    unsigned scan = 1;

    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n",
                "REQUIREMENTS R1 : NEVER lit; END_REQUIREMENTS\n");
    pace(&trial, index);
    text_model_choose(&trial.text, "a", 1);
    trial_scan(&trial);
    while (!trial_now(&trial, "Main.lit")) {
        assert_true(trial_now(&trial, "Main.pulse"));
        trial_scan(&trial);
        scan++;
    }
    assert_false(trial_now(&trial, "Main.pulse"));
    assert_int_equal(scan, wanted);
    text_model_choose(&trial.text, "a", 0);
    for (scan = 0; scan == 0 || trial_now(&trial, "Main.tail"); scan++)
        trial_scan(&trial);
    assert_int_equal(scan, wanted);
    trial_close(&trial);
}

/* 130 + 130 is too little, 3 times 100 enough, 3 times 90 too little. */
static void timers_expire_at_the_first_call_that_reached(void **state)
{
    (void)state;
    reaches_in(LONGEST, 4);
    reaches_in(2, 4);
    reaches_in(1, 5);
    reaches_in(SHORTEST, 5);
}

static void elapsed_adds_up_scan_by_scan(void **state)
{
    struct trial trial;

    (void)state;
    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n",
                "REQUIREMENTS R1 : NEVER lit; END_REQUIREMENTS\n");
    text_model_choose(&trial.text, "a", 1);
    pace(&trial, LONGEST); /* the first scan has nothing to add */
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Main.t1.ET"), 0);
    pace(&trial, 1);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Main.t1.ET"), 90);
    pace(&trial, LONGEST);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Main.t1.ET"), 220);
    pace(&trial, SHORTEST);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Main.t1.ET"), 300);
    assert_true(trial_now(&trial, "Main.lit"));
    trial_close(&trial);
}

/* ---- movements ---- */

static const char gate[] =
    "MECHANISM Gate VAR g : (Wide, Shut) := Wide; END_VAR\n"
    "  MOVES g FROM Wide TO Shut IN T#200ms .. T#400ms WHILE a;\n"
    "END_MECHANISM\n"
    "RECORDER Sum VAR run : TIME; scans : INT (0 .. 9); held : BOOL := TRUE;\n"
    "  END_VAR\n"
    "  IF NOT a THEN held := FALSE; END_IF;\n"
    "  IF held AND NOT cold AND scans < 9 THEN\n"
    "    run := run + elapsed; scans := scans + 1; END_IF;\n"
    "END_RECORDER\n"
    "REQUIREMENTS\n"
    "  R1 : NEVER held AND RISING (g = Shut) AND scans < 2;\n"
    "  R2 : NEVER held AND RISING (g = Shut) AND scans < 3;\n"
    "  R3 : NEVER held AND g = Wide AND scans = 5;\n"
    "  R4 : NEVER held AND g = Wide AND scans = 4;\n"
    "  R5 : NEVER held AND RISING (g = Shut) AND run < T#200ms;\n"
    "  R6 : NEVER held AND RISING (g = Shut) AND run < T#210ms;\n"
    "  R7 : NEVER held AND g = Wide AND run >= T#400ms;\n"
    "  R8 : NEVER held AND g = Wide AND run >= T#390ms;\n"
    "END_REQUIREMENTS\n";

/* 2 scans of 130 reach 200, 5 of 80 the 400; both by way of every time. */
static void movements_add_what_each_scan_took(void **state)
{
    static const struct {
        const char *name;
        enum verdict verdict;
    } rows[] = {{"R1", VERDICT_KEPT},   {"R2", VERDICT_BROKEN},
                {"R3", VERDICT_KEPT},   {"R4", VERDICT_BROKEN},
                {"R5", VERDICT_KEPT},   {"R6", VERDICT_BROKEN},
                {"R7", VERDICT_KEPT},   {"R8", VERDICT_BROKEN}};
    struct trial trial;

    (void)state;
    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n", gate);
    trial_explore(&trial);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_int_equal(trial_level(&trial, rows[i].name) != 0,
                         rows[i].verdict == VERDICT_BROKEN);
    trial_close(&trial);
}

/* ---- requirements ---- */

static int64_t judged(const struct trial *trial, const char *name)
{
    const struct model *model = trial->text.model;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (strcmp(model->requirements[i].name->spelling, name) == 0)
            return model->requirements[i].limit.judged;
    fail_msg("no requirement %s", name);
    return 0;
}

/* What lasts up to the next judging may last the longest scan more; each
 * event of the outside takes the longest scan off too. */
static void limits_go_by_the_longest_scan(void **state)
{
    struct trial trial;

    (void)state;
    open_timers(
        &trial, "SCAN T#80ms .. T#130ms;\n",
        "REQUIREMENTS\n"
        "  R1 : lit NO LONGER THAN T#400ms;\n"
        "  R2 : a NO LONGER THAN T#400ms;\n"
        "  R3 : WHEN lit THEN tail WITHIN T#400ms;\n"
        "  R4 : WHEN a THEN lit WITHIN T#400ms;\n"
        "  R5 : lit AT LEAST T#400ms;\n"
        "  R6 : a AT LEAST T#400ms;\n"
        "  R7 : lit NO LONGER THAN T#100ms;\n"
        "END_REQUIREMENTS\n");
    assert_int_equal(judged(&trial, "R1"), 280);
    assert_int_equal(judged(&trial, "R2"), 20);
    assert_int_equal(judged(&trial, "R3"), 280);
    assert_int_equal(judged(&trial, "R4"), 150);
    assert_int_equal(judged(&trial, "R5"), 400);
    assert_int_equal(judged(&trial, "R6"), 660);
    assert_int_equal(judged(&trial, "R7"), 0);
    trial_close(&trial);
}

/* WITHIN t is kept only where no scan can be the one that comes too late:
 * `late` is TRUE in the third scan of a, 260 ms after it at the most. */
static void a_late_answer_is_never_in_time(void **state)
{
    static const char third[] =
        "PROGRAM Main VAR_INPUT a : BOOL; END_VAR\n"
        "VAR_OUTPUT lit : BOOL; END_VAR VAR n : INT (0..2); END_VAR\n"
        "  IF NOT a THEN n := 0; ELSIF n < 2 THEN n := n + 1;\n"
        "  ELSE lit := TRUE; END_IF;\n"
        "  IF NOT a THEN lit := FALSE; END_IF;\nEND_PROGRAM\n";
    struct trial trial;

    (void)state;
    open_with(&trial, third, "SCAN T#80ms .. T#130ms;\n",
              "CONTROLS a : BUTTON 'a'; lit : LAMP 'lit'; END_CONTROLS\n"
              "REQUIREMENTS\n"
              "  R1 : WHEN a THEN lit WITHIN T#260ms SAMPLED UNLESS NOT a;\n"
              "  R2 : WHEN a THEN lit WITHIN T#250ms SAMPLED UNLESS NOT a;\n"
              "END_REQUIREMENTS\n");
    trial_judges(&trial, "R1", VERDICT_KEPT, 0);
    trial_judges(&trial, "R2", VERDICT_BROKEN, 2);
    trial_close(&trial);
}

/* ---- what is possible ---- */

/* ET is 100 ms if one scan takes just that: nobody can count on it. */
static void time_stands_against_us(void **state)
{
    static const char rest[] =
        "REQUIREMENTS\n"
        "  R1 : POSSIBLE Main.hit;\n"
        "  R2 : ALWAYS POSSIBLE AGAIN Main.hit;\n"
        "  R3 : POSSIBLE lit AND NOT pulse;\n"
        "  R4 : ALWAYS POSSIBLE AGAIN lit;\n"
        "END_REQUIREMENTS\n";
    struct trial trial;

    (void)state;
    open_timers(&trial, "SCAN T#100ms;\n", rest);
    trial_judges(&trial, "R1", VERDICT_KEPT, 2);
    trial_judges(&trial, "R2", VERDICT_KEPT, 0);
    trial_close(&trial);
    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n", rest);
    trial_judges(&trial, "R1", VERDICT_BROKEN, 1);
    trial_judges(&trial, "R2", VERDICT_BROKEN, 1);
    trial_judges(&trial, "R3", VERDICT_KEPT, 4);
    trial_judges(&trial, "R4", VERDICT_KEPT, 0);
    trial_close(&trial);
}

/* The shortest of several times that do is the one shown. */
static void shortest_first(void **state)
{
    struct trial trial;
    const struct replay *replay;

    (void)state;
    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n",
                "REQUIREMENTS R1 : NEVER lit; END_REQUIREMENTS\n");
    trial_judges(&trial, "R1", VERDICT_BROKEN, 4);
    replay = trial.findings->requirements[0].sequence;
    assert_int_equal(replay_time(trial.text.model, replay, 0), 0);
    assert_int_equal(replay_time(trial.text.model, replay, 1), 80);
    assert_int_equal(replay_time(trial.text.model, replay, 2), 170);
    assert_int_equal(replay_time(trial.text.model, replay, 3), 300);
    trial_close(&trial);
}

/* ---- the step ---- */

static void step_is(const char *scan, const char *pt, int64_t wanted)
{
    struct text control = {0};
    struct trial trial;
    const struct choice *row;

    text_printf(&control, "PROGRAM Main VAR_INPUT a : BOOL; END_VAR\n"
                "VAR_OUTPUT lit : BOOL; END_VAR VAR t : TON; END_VAR\n"
                "  t(IN := a, PT := %s, Q => lit);\nEND_PROGRAM\n", pt);
    open_with(&trial, text_str(&control), scan,
              "CONTROLS a : BUTTON 'a'; lit : LAMP 'lit'; END_CONTROLS\n");
    row = &trial.text.model->choices[0];
    assert_int_equal(row->kind == CHOICE_TIME, wanted > 0);
    if (wanted > 0) {
        assert_int_equal(row->values[1] - row->values[0], wanted);
        assert_int_equal(row->values[0], 80);
        assert_int_equal(row->values[row->count - 1], 130);
    }
    trial_close(&trial);
    text_release(&control);
}

static void every_time_is_a_multiple_of_the_step(void **state)
{
    (void)state;
    step_is("SCAN T#80ms .. T#130ms;\n", "T#1s", 10);
    step_is("SCAN T#80ms .. T#130ms;\n", "T#205ms", 5);
    step_is("SCAN T#80ms .. T#130ms;\n", "T#501ms", 1);
    step_is("SCAN T#80ms .. T#130ms BY T#2ms;\n", "T#1s", 2);
    step_is("SCAN T#100ms .. T#100ms;\n", "T#1s", 0);
}

/* ---- every few scans ---- */

static const char two[] =
    "PROGRAM Fast VAR_INPUT a : BOOL; END_VAR\n"
    "VAR_OUTPUT y : BOOL; END_VAR\n  y := a;\nEND_PROGRAM\n"
    "PROGRAM Slow VAR_INPUT b : BOOL; free : BOOL; END_VAR\n"
    "VAR_OUTPUT z : BOOL; END_VAR\n"
    "VAR t : TON; n : INT (0 .. 7); seen : BOOL; END_VAR\n"
    "  z := b; seen := free; t(IN := b, PT := T#200ms);\n"
    "  IF n < 7 THEN n := n + 1; END_IF;\nEND_PROGRAM\n";

static const char both[] =
    "RUNS Slow EVERY 3 SCANS; POWER MAY FAIL;\n"
    "CONTROLS a : BUTTON 'a'; b : BUTTON 'b';\n"
    "  y : VALVE 'y'; z : VALVE 'z'; END_CONTROLS\n"
    "REQUIREMENTS\n"
    "  R1 : NEVER y AND NOT PRESSED a;\n"
    "  R2 : NEVER z AND NOT PRESSED b;\n"
    "  R3 : NEVER READ b AND NOT z;\n"
    "  R4 : WHEN PRESSED b THEN z WITHIN T#200ms SAMPLED\n"
    "       UNLESS NOT PRESSED b OR NOT power;\n"
    "  R5 : WHEN PRESSED b THEN z WITHIN T#100ms SAMPLED\n"
    "       UNLESS NOT PRESSED b OR NOT power;\n"
    "END_REQUIREMENTS\n";

static void scans(struct trial *trial, unsigned n)
{
    while (n-- > 0)
        trial_scan(trial);
}

static void it_runs_in_the_first_scan_and_every_third(void **state)
{
    struct trial trial;

    (void)state;
    open_with(&trial, two, "SCAN T#100ms;\n", both);
    for (int scan = 1; scan <= 7; scan++) {
        trial_scan(&trial);
        assert_int_equal(trial_now(&trial, "Slow.n"), (scan + 2) / 3);
    }
    trial_close(&trial);
}

/* Between its runs inputs are not sampled and outputs stay; the age of its
 * timer grows all the same. */
static void between_its_runs_all_stays(void **state)
{
    struct trial trial;

    (void)state;
    open_with(&trial, two, "SCAN T#100ms;\n", both);
    text_model_choose(&trial.text, "b", 1);
    text_model_choose(&trial.text, "Slow.free", 1);
    trial_scan(&trial);
    assert_true(trial_now(&trial, "Slow.z"));
    text_model_choose(&trial.text, "b", 0);
    text_model_choose(&trial.text, "Slow.free", 0);
    text_model_choose(&trial.text, "a", 1);
    for (int i = 0; i < 2; i++) {
        trial_scan(&trial);
        assert_true(trial_now(&trial, "Fast.y"));
        assert_true(trial_now(&trial, "Slow.z"));
        assert_true(trial_now(&trial, "Slow.b"));
        assert_true(trial_now(&trial, "Slow.free"));
        assert_int_equal(trial_now(&trial, "Slow.t.ET"), 0);
    }
    text_model_choose(&trial.text, "b", 1);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Slow.t.ET"), 200);
    assert_true(trial_now(&trial, "Slow.t.Q"));
    assert_false(trial_now(&trial, "Slow.seen"));
    trial_close(&trial);
}

/* Power goes in the middle of a round and returns: it runs at once. */
static void power_begins_the_count_anew(void **state)
{
    struct trial trial;

    (void)state;
    open_with(&trial, two, "SCAN T#100ms;\n", both);
    scans(&trial, 2);
    assert_int_equal(trial_now(&trial, "Slow.n"), 1);
    text_model_choose(&trial.text, "power", 1);
    trial_scan(&trial);
    text_model_choose(&trial.text, "power", 0);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Slow.n"), 1);
    scans(&trial, 2);
    assert_int_equal(trial_now(&trial, "Slow.n"), 1);
    trial_scan(&trial);
    assert_int_equal(trial_now(&trial, "Slow.n"), 2);
    trial_close(&trial);
}

static void every_third_scan_is_judged(void **state)
{
    struct trial trial;

    (void)state;
    open_with(&trial, two, "SCAN T#100ms;\n", both);
    trial_judges(&trial, "R1", VERDICT_KEPT, 0);
    trial_judges(&trial, "R2", VERDICT_BROKEN, 2);
    trial_judges(&trial, "R3", VERDICT_KEPT, 0);
    trial_judges(&trial, "R4", VERDICT_KEPT, 0);
    trial_judges(&trial, "R5", VERDICT_BROKEN, 3);
    trial_close(&trial);
}

/* ---- what people see ---- */

static void the_conditions_say_it(void **state)
{
    struct text out = {0};
    struct trial trial;

    (void)state;
    open_with(&trial, two, "SCAN T#80ms .. T#130ms;\n", both);
    trial_judges(&trial, "R1", VERDICT_KEPT, 0);
    conditions_add(&out, &(struct view){.findings = trial.findings,
                                        .sources = trial.text.sources});
    assert_non_null(strstr(text_str(&out),
                           "one scan every 0.08 s to 0.13 s, each of any "
                           "time in steps of 0.01 s;"));
    assert_non_null(strstr(text_str(&out),
                           "Slow runs every 3 scans, first in the scan in "
                           "which power comes\n"));
    trial_close(&trial);
    text_release(&out);
}

/* Scans are as long as they may be, unless said. */
static void scenarios_take_the_longest_unless_said(void **state)
{
    struct trial trial;
    struct scenario_result *result;

    (void)state;
    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n",
                "SCENARIO One\n"
                "  HOLD a; WAIT T#390ms; EXPECT NOT lit;\n"
                "  SCAN T#80ms; WAIT T#80ms; EXPECT lit;\n"
                "END_SCENARIO\n");
    result = scenario_play(trial.arena, trial.text.model,
                           &trial.text.model->scenarios[0]);
    assert_true(result->as_expected);
    assert_int_equal(replay_time(trial.text.model, &result->outing->replay,
                                 3), 340);
    scenario_release(result);
    trial_close(&trial);
}

/* What was run by hand is written so that it can be played. */
static void what_was_run_by_hand_says_how_long(void **state)
{
    struct text out = {0};
    struct trial trial;
    struct outing outing;
    uint32_t which;

    (void)state;
    open_timers(&trial, "SCAN T#80ms .. T#130ms;\n", "");
    outing_open(&outing, trial.arena, trial.text.model);
    for (int i = 0; i < 3; i++)
        assert_int_equal(outing_run(&outing, NULL, &which), OUTING_RAN);
    assert_false(outing_pace(&outing, 85));
    assert_true(outing_pace(&outing, 90));
    for (int i = 0; i < 2; i++)
        assert_int_equal(outing_run(&outing, NULL, &which), OUTING_RAN);
    script_add(&out, &outing, "It");
    assert_non_null(strstr(text_str(&out), "    WAIT T#390ms;\n"
                                           "    SCAN T#90ms;\n"
                                           "    WAIT T#180ms;\n"));
    outing_close(&outing);
    trial_close(&trial);
    text_release(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(timers_expire_at_the_first_call_that_reached),
        cmocka_unit_test(elapsed_adds_up_scan_by_scan),
        cmocka_unit_test(movements_add_what_each_scan_took),
        cmocka_unit_test(limits_go_by_the_longest_scan),
        cmocka_unit_test(a_late_answer_is_never_in_time),
        cmocka_unit_test(time_stands_against_us),
        cmocka_unit_test(shortest_first),
        cmocka_unit_test(every_time_is_a_multiple_of_the_step),
        cmocka_unit_test(it_runs_in_the_first_scan_and_every_third),
        cmocka_unit_test(between_its_runs_all_stays),
        cmocka_unit_test(power_begins_the_count_anew),
        cmocka_unit_test(every_third_scan_is_judged),
        cmocka_unit_test(the_conditions_say_it),
        cmocka_unit_test(scenarios_take_the_longest_unless_said),
        cmocka_unit_test(what_was_run_by_hand_says_how_long),
    };

    return cmocka_run_group_tests_name("pace", tests, NULL, NULL);
}
