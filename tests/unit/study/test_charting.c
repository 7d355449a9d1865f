/* Cause and effect of small programs whose chart can be told by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/charttext.h"
#include "study/charting.h"
#include "study/chartlist.h"
#include "study/chartshown.h"
#include "study/load.h"
#include "reference/replay.h"

/* ---- asking ---- */

struct asked {
    struct loaded *loaded;
    struct study_setting setting;
    struct charting_asked what;
    struct charting charting;
};

static void open_chart(struct asked *asked, uint32_t faults)
{
    asked->what = (struct charting_asked){.setting = &asked->setting,
                                          .faults = faults};
    assert_non_null(asked->loaded->model);
    assert_null(charting_open(&asked->charting, asked->loaded,
                              &asked->what));
    charting_judge(&asked->charting, NULL);
    assert_null(asked->charting.chart.internal_error);
}

static void begin(struct asked *asked, const char *control,
                  const char *review)
{
    const struct load_instead instead = {"test.st", control,
                                         strlen(control)};
    const struct load_request request = {
        .path = "test.st", .review = review, .instead = &instead};

    memset(asked, 0, sizeof *asked);
    asked->setting.engine = ENGINE_BOTH;
    asked->loaded = load_run(&request);
    open_chart(asked, 0);
}

static void begin_file(struct asked *asked, const char *path, uint32_t faults)
{
    const struct load_request request = {.path = path};

    memset(asked, 0, sizeof *asked);
    asked->loaded = load_run(&request);
    open_chart(asked, faults);
}

static void end(struct asked *asked)
{
    charting_close(&asked->charting);
    loaded_free(asked->loaded);
}

static uint32_t cell_number(const struct asked *asked, const char *input,
                            uint32_t position, const char *output,
                            int64_t value)
{
    const struct chart *chart = &asked->charting.chart;

    for (uint32_t i = 0; i < chart->n_inputs * chart->n_outputs; i++) {
        const struct chart_input *in = &chart->inputs[i / chart->n_outputs];
        const struct chart_output *out =
            &chart->outputs[i % chart->n_outputs];

        if (strcmp(chartlist_input_name(chart, in), input) == 0 &&
            in->position == position &&
            strcmp(chartlist_output_name(chart, out), output) == 0 &&
            out->value == value)
            return i;
    }
    fail_msg("no cell %s, %s", input, output);
    return 0;
}

/* What is in a cell: letters for on, kept on, off, kept off, stops, only with
 * it; those not named are not. */
static void expect(const struct asked *asked, uint32_t cell,
                   const char *letters)
{
    const struct chart_cell *of = &asked->charting.chart.cells[cell];
    char found[8];
    unsigned n = 0;

    for (unsigned act = 0; act < CHART_ON_WITH; act++) {
        assert_int_not_equal(of->act[act], CHART_NOT_KNOWN);
        if (of->act[act] == CHART_SEEN)
            found[n++] = "nkfb"[act];
    }
    if (chart_stops(of))
        found[n++] = 's';
    if (chart_only_with(of))
        found[n++] = 'o';
    found[n] = '\0';
    assert_string_equal(found, letters);
}

static void expect_two(const struct asked *asked, const char *input,
                       const char *output, const char *letters)
{
    expect(asked, cell_number(asked, input, 1, output, 1), letters);
}

/* ---- kinds of inputs and outputs ---- */

static const char kinds[] =
    "PROGRAM Main\n"
    "VAR_INPUT run : BOOL; sel : (Off, Slow, Fast); END_VAR\n"
    "VAR_OUTPUT lamp : (Dark, Green, Red); motor : BOOL; rate : INT;\n"
    "END_VAR\n"
    "motor := run AND sel <> Off;\n"
    "IF motor THEN lamp := Green; ELSIF run THEN lamp := Red;\n"
    "ELSE lamp := Dark; END_IF;\n"
    "rate := 0;\n"
    "IF sel = Fast THEN rate := 7; END_IF;\n"
    "END_PROGRAM\n";

static void test_kinds(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, kinds, NULL);
    expect_two(&a, "run", "motor", "nko");
    expect(&a, cell_number(&a, "sel", 0, "motor", 1), "fbs");
    expect(&a, cell_number(&a, "sel", 1, "motor", 1), "nk");
    expect(&a, cell_number(&a, "sel", 2, "motor", 1), "nk");
    expect(&a, cell_number(&a, "run", 1, "lamp", 1), "nko");
    expect(&a, cell_number(&a, "run", 1, "lamp", 2), "nko");
    expect(&a, cell_number(&a, "sel", 0, "lamp", 2), "nko");
    expect(&a, cell_number(&a, "sel", 2, "lamp", 2), "fbs");
    expect(&a, cell_number(&a, "sel", 2, "rate", 0), "nko");
    expect(&a, cell_number(&a, "sel", 1, "rate", 0), "fbs");
    expect(&a, cell_number(&a, "run", 1, "rate", 0), "");
    end(&a);
}

static const char number[] =
    "PROGRAM Main\n"
    "VAR_INPUT level : INT (0..20); go : BOOL; END_VAR\n"
    "VAR_OUTPUT rate : INT; full : BOOL; END_VAR\n"
    "VAR x : INT; END_VAR\n"
    "x := level * 3;\n"
    "full := x > 30;\n"
    "rate := 0; IF go THEN rate := x; END_IF;\n"
    "END_PROGRAM\n";

/* More positions than lines: all but the one at rest together. */
static void test_number(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, number, NULL);
    expect(&a, cell_number(&a, "level", CHART_OTHER, "full", 1), "nko");
    expect(&a, cell_number(&a, "level", CHART_OTHER, "rate", 0), "nko");
    expect(&a, cell_number(&a, "go", 1, "rate", 0), "nko");
    expect(&a, cell_number(&a, "go", 1, "full", 1), "");
    end(&a);
}

static const char ranges[] =
    "PROGRAM Main\n"
    "VAR_INPUT level : INT (0..20); END_VAR\n"
    "VAR_OUTPUT rate : INT; full : BOOL; END_VAR\n"
    "full := level > 10;\n"
    "rate := level;\n"
    "END_PROGRAM\n";

/* 0 stands for 0 .. 10 here: whether the number given away is 0 cannot be
 * told, and is not. */
static void test_ranges(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, ranges, NULL);
    assert_int_equal(a.charting.chart.n_outputs, 1);
    assert_int_equal(a.charting.chart.n_left_out, 1);
    expect_two(&a, "level", "full", "nko");
    end(&a);
}

/* ---- assumptions and errors of the turned scan ---- */

static const char two_inputs[] =
    "PROGRAM Main\n"
    "VAR_INPUT a, b : BOOL; END_VAR\n"
    "VAR_OUTPUT q : BOOL; END_VAR\n"
    "q := a AND b;\n"
    "END_PROGRAM\n";

/* Either both or none: no input can be turned alone. */
static void test_assumption(void **unused)
{
    struct asked asked;

    (void)unused;
    begin(&asked, two_inputs, NULL);
    expect_two(&asked, "a", "q", "nko");
    end(&asked);
    begin(&asked, two_inputs,
          "REVIEW R 'r'\n"
          "SCAN T#100ms;\n"
          "CONTROLS a : BUTTON 'a'; b : BUTTON 'b'; END_CONTROLS\n"
          "ASSUMPTIONS A1 'both or none' : PRESSED a = PRESSED b;\n"
          "END_ASSUMPTIONS\n"
          "END_REVIEW\n");
    expect_two(&asked, "a", "q", "");
    end(&asked);
}

static const char dividing[] =
    "PROGRAM Main\n"
    "VAR_INPUT a, b : BOOL; END_VAR\n"
    "VAR_OUTPUT q : BOOL; END_VAR\n"
    "VAR d, x : INT; END_VAR\n"
    "d := 1; IF b THEN d := 0; END_IF;\n"
    "x := 10 / d;\n"
    "q := a OR b;\n"
    "END_PROGRAM\n";

/* No scan with b ends in a judging. */
static void test_error(void **unused)
{
    struct asked asked;

    (void)unused;
    begin(&asked, dividing, NULL);
    assert_int_equal(asked.charting.chart.errors, 1);
    assert_int_equal(chart_exit_code(&asked.charting.chart), 3);
    expect_two(&asked, "a", "q", "nko");
    expect_two(&asked, "b", "q", "");
    end(&asked);
}

/* ---- two switches on one thing ---- */

static const char redundant[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, shut_1, shut_2 : BOOL; END_VAR\n"
    "VAR_OUTPUT up, all_shut : BOOL; END_VAR\n"
    "up := go AND NOT (shut_1 OR shut_2);\n"
    "all_shut := shut_1 AND shut_2;\n"
    "END_PROGRAM\n";

static const char redundant_review[] =
    "REVIEW R 'r'\n"
    "SCAN T#100ms;\n"
    "CONTROLS\n"
    "  go : BUTTON 'go';\n"
    "  shut_1 : SENSOR 'first switch' ON WHEN gate = Shut;\n"
    "  shut_2 : SENSOR 'second switch' ON WHEN gate = Shut;\n"
    "  up : VALVE 'rises'; all_shut : LAMP 'shut';\n"
    "END_CONTROLS\n"
    "MECHANISM M VAR gate : (Shut, Wide); END_VAR\n"
    "  MOVES gate FROM Shut TO Wide WHILE up;\n"
    "END_MECHANISM\n"
    "END_REVIEW\n";

/* Each alone takes the lamp away, and the valve: that both see the same does
 * not join them. */
static void test_sensors(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, redundant, redundant_review);
    expect_two(&a, "shut_1", "all_shut", "nko");
    expect_two(&a, "shut_2", "all_shut", "nko");
    expect_two(&a, "shut_1", "up", "fbs");
    expect_two(&a, "go", "up", "nko");
    end(&a);
}

/* ---- the machines of models/ ---- */

/* The second contacts of the rear stops take the supply of the valves away;
 * the horn goes on for a while. */
static void test_tailgate(void **unused)
{
    static const char *const stops[] = {"stop_rear_left", "stop_rear_right",
                                        "stop_cab"};
    static const char *const valves[] = {"raise_valve", "lower_valve",
                                         "release_valve"};
    struct asked a;

    (void)unused;
    begin_file(&a, "models/tailgate/tailgate.review", 0);
    for (unsigned i = 0; i < 3; i++) {
        for (unsigned k = 0; k < 3; k++)
            assert_true(chart_stops(
                &a.charting.chart.cells[cell_number(&a, stops[i], 1,
                                                    valves[k], 1)]));
        expect_two(&a, stops[i], "gate_horn", "fb");
    }
    expect_two(&a, "raise_cab", "raise_valve", "nko");
    expect_two(&a, "reset", "raise_valve", "");
    end(&a);
}

/* A spool that sticks lets the gate go down whatever is pressed; the raising
 * valve has no fault, and the rear stops cut its supply. */
static void test_tailgate_with_a_fault(void **unused)
{
    struct asked a;

    (void)unused;
    begin_file(&a, "models/tailgate/tailgate.review", 1);
    assert_false(chart_stops(
        &a.charting.chart
             .cells[cell_number(&a, "stop_rear_left", 1, "lower_valve", 1)]));
    assert_true(chart_stops(
        &a.charting.chart
             .cells[cell_number(&a, "stop_rear_left", 1, "raise_valve", 1)]));
    end(&a);
}

#ifndef __SANITIZE_ADDRESS__
/* An emergency stop ends every motion but those that the rescue buttons lead
 * away from a person: the carrier may rise, the plate may open. */
static void test_rear_body(void **unused)
{
    static const char *const stopped[] = {
        "raise_valve", "lower_valve", "release_valve", "eject_out",
        "eject_in", "lift_up", "lift_down", "carrier_down", "plate_close"};
    static const char *const rescued[] = {"carrier_up", "plate_open"};
    struct asked a = {0};

    (void)unused;
    a.loaded = load_run(&(struct load_request){
        .path = "models/rear_body/rear_body.review"});
    a.what = (struct charting_asked){.setting = &a.setting,
                                     .input = "stop_rear_left"};
    assert_null(charting_open(&a.charting, a.loaded, &a.what));
    charting_judge(&a.charting, NULL);
    assert_int_equal(chart_exit_code(&a.charting.chart), 0);
    for (unsigned i = 0; i < sizeof stopped / sizeof *stopped; i++)
        expect_two(&a, "stop_rear_left", stopped[i], "fbs");
    for (unsigned i = 0; i < sizeof rescued / sizeof *rescued; i++)
        expect_two(&a, "stop_rear_left", rescued[i], "fb");
    end(&a);
}
#endif

/* ---- limits, names, sequences ---- */

static void test_limit(void **unused)
{
    struct asked a;

    (void)unused;
    memset(&a, 0, sizeof a);
    a.loaded = load_run(&(struct load_request){
        .path = "models/tailgate/tailgate.review"});
    a.setting.most_situations = 3;
    a.setting.engine = ENGINE_TILES;
    open_chart(&a, 0);
    assert_int_equal(chart_exit_code(&a.charting.chart), 3);
    assert_int_not_equal(a.charting.chart.stop, STOP_NONE);
    assert_false(chart_stops(
        &a.charting.chart
             .cells[cell_number(&a, "stop_rear_left", 1, "lower_valve", 1)]));
    end(&a);
}

static void test_names(void **unused)
{
    struct asked a = {0};

    (void)unused;
    a.loaded = load_run(&(struct load_request){
        .path = "models/tailgate/tailgate.review"});
    a.what = (struct charting_asked){.setting = &a.setting,
                                     .input = "STOP_RL_1",
                                     .output = "Lower_Valve"};
    assert_null(charting_open(&a.charting, a.loaded, &a.what));
    assert_int_equal(a.charting.chart.n_inputs, 1);
    assert_int_equal(a.charting.chart.n_outputs, 1);
    charting_close(&a.charting);
    a.what.output = "nothing";
    assert_string_equal(
        charting_open(&a.charting, a.loaded, &a.what),
        "'nothing' is no actuator or output; there are raise_valve, "
        "lower_valve, release_valve, gate_horn");
    end(&a);
}

/* The lamp is on, and with the first switch alone showing FALSE it is not. */
static void test_sequence(void **unused)
{
    struct asked a;
    struct chartshown shown;

    (void)unused;
    begin(&a, redundant, redundant_review);
    shown = chartshown_find(&a.charting,
                            cell_number(&a, "shut_1", 1, "all_shut", 1),
                            CHART_TURNS_ON);
    assert_non_null(shown.sequence);
    assert_int_equal(shown.sequence->n_scans, 1);
    assert_true(shown.with);
    assert_int_equal(shown.turned, 0);
    end(&a);
}

/* The motor runs one scan in all, the way takes three: the sensor is never
 * on, though it would be if the movement could take any time. */
static void test_times(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a,
          "PROGRAM Main\nVAR_INPUT go, hand, there : BOOL; END_VAR\n"
          "VAR_OUTPUT m, lamp : BOOL; END_VAR VAR done : BOOL; END_VAR\n"
          "m := go AND NOT done; done := done OR m;\n"
          "lamp := hand AND there;\nEND_PROGRAM\n",
          "REVIEW Times 'invented'\nSCAN T#100ms;\nCONTROLS\n"
          "  go : BUTTON 'go'; hand : BUTTON 'hand';\n"
          "  there : SENSOR 'there' ON WHEN pos = Far;\n"
          "  m : MOTOR 'm'; lamp : LAMP 'lamp';\nEND_CONTROLS\n"
          "MECHANISM Slide\n  VAR pos : (Near, Far) := Near; END_VAR\n"
          "  MOVES pos FROM Near TO Far IN T#300ms .. WHILE m;\n"
          "END_MECHANISM\n"
          "REQUIREMENTS R1 'r' : NEVER lamp;\nEND_REQUIREMENTS\n"
          "END_REVIEW\n");
    expect_two(&a, "hand", "lamp", "");
    end(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kinds),
        cmocka_unit_test(test_number),
        cmocka_unit_test(test_ranges),
        cmocka_unit_test(test_assumption),
        cmocka_unit_test(test_error),
        cmocka_unit_test(test_sensors),
        cmocka_unit_test(test_tailgate),
        cmocka_unit_test(test_tailgate_with_a_fault),
#ifndef __SANITIZE_ADDRESS__
        cmocka_unit_test(test_rear_body),
#endif
        cmocka_unit_test(test_limit),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_sequence),
        cmocka_unit_test(test_times),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
