/* Stop maps that were reasoned out by hand: of a small machine that has each
 * way of being stopped, and of two models. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/stoptext.h"
#include "study/load.h"
#include "study/stopmapping.h"
#include "study/study.h"

struct asked {
    struct loaded *loaded;
    const struct stopmap *map;
};

static void make(struct asked *asked, uint64_t situations)
{
    const struct study_setting setting = {.most_situations = situations};
    const struct stopmapping_asked what = {.setting = &setting};

    assert_non_null(asked->loaded->model);
    asked->map = stopmapping_make(asked->loaded, &what);
    assert_non_null(asked->map);
    assert_null(asked->map->internal_error);
}

static void begin(struct asked *asked, const char *control,
                  const char *review, uint64_t situations)
{
    const struct load_instead instead = {"test.st", control,
                                         strlen(control)};
    const struct load_request request = {
        .path = "test.st", .review = review, .instead = &instead};

    asked->loaded = load_run(&request);
    make(asked, situations);
}

static void begin_file(struct asked *asked, const char *path)
{
    const struct load_request request = {.path = path};

    asked->loaded = load_run(&request);
    make(asked, 0);
}

static void end(struct asked *asked)
{
    loaded_free(asked->loaded);
}

/* ---- finding a cell ---- */

static uint32_t control_of(const struct asked *asked, const char *name)
{
    const struct model *model = asked->map->model;

    for (uint32_t i = 0; i < model->n_controls; i++)
        if (strcmp(model->controls[i].name->spelling, name) == 0)
            return i;
    fail_msg("no control %s", name);
    return 0;
}

/* "" is the column of all stops. */
static uint32_t column_of(const struct asked *asked, const char *name)
{
    for (uint32_t c = 0; c < asked->map->n_columns; c++) {
        const struct stopmap_column *column = &asked->map->columns[c];

        if (*name == '\0' ? column->kind == STOPMAP_EVERY
                          : column->kind != STOPMAP_EVERY &&
                                column->of == control_of(asked, name))
            return c;
    }
    fail_msg("no column %s", name);
    return 0;
}

static uint32_t line_of(const struct asked *asked, const char *name)
{
    const struct model *model = asked->map->model;

    for (uint32_t i = 0; i < asked->map->n_lines; i++) {
        const struct stopmap_line *line = &asked->map->lines[i];
        const char *path = line->part ? model->slots[line->of].path : "";
        const char *dot = strrchr(path, '.');

        if (line->part ? strcmp(dot == NULL ? path : dot + 1, name) == 0
                       : strcmp(model->actuators[line->of].name->spelling,
                                name) == 0)
            return i;
    }
    fail_msg("no line %s", name);
    return 0;
}

static const struct stopmap_cell *cell(const struct asked *asked,
                                       const char *line, const char *column)
{
    return stopmap_cell(asked->map, line_of(asked, line),
                        column_of(asked, column));
}

/* w: by the wiring alone, p: the programs never ask for it, x: it can be
 * on. */
static void expect(const struct asked *asked, const char *line,
                   const char *column, const char *letters)
{
    const struct stopmap_cell *of = cell(asked, line, column);
    char found[4];
    unsigned n = 0;

    assert_int_not_equal(of->on, CHART_NOT_KNOWN);
    if (of->wired == CHART_NEVER)
        found[n++] = 'w';
    if (of->commanded == CHART_NEVER)
        found[n++] = 'p';
    if (of->on == CHART_SEEN)
        found[n++] = 'x';
    found[n] = '\0';
    if (strcmp(found, letters) != 0)
        fail_msg("%s, %s: '%s', not '%s'", line, column, found, letters);
}

/* The controls of which one is needed, each a letter of its name's end. */
static void expect_hands(const struct asked *asked, const char *line,
                         const char *column, const char *names)
{
    const struct stopmap_cell *of = cell(asked, line, column);
    struct text found = {0};

    for (uint32_t i = 0; i < of->n_hands; i++)
        text_printf(&found, "%s ",
                    asked->map->model
                        ->controls[asked->map->model->choices[of->hands[i]].of]
                        .name->spelling);
    assert_string_equal(text_str(&found), names);
    text_release(&found);
}

static bool needs(const struct asked *asked, const char *line,
                  const char *column, const char *control, uint32_t value)
{
    const struct stopmap_cell *of = cell(asked, line, column);
    uint32_t row = asked->map->model->controls[control_of(asked, control)]
                       .choice;

    for (uint32_t i = 0; i < of->n_needs; i++)
        if (!of->needs[i].sensor && !of->needs[i].other &&
            of->needs[i].of == row && of->needs[i].value == value)
            return true;
    return false;
}

/* Which of its movements a part can make, in their order, the last for
 * others: '+' or '-'. */
static void expect_moves(const struct asked *asked, const char *line,
                         const char *column, const char *signs)
{
    const struct stopmap_cell *of = cell(asked, line, column);
    uint32_t n = asked->map->lines[line_of(asked, line)].n_movements;

    assert_int_equal(strlen(signs), n + 1);
    for (uint32_t i = 0; i <= n; i++)
        assert_int_equal(of->moves[i],
                         signs[i] == '+' ? CHART_SEEN : CHART_NEVER);
}

/* ---- each way of being stopped ---- */

static const char control[] =
    "PROGRAM Main\n"
    "VAR_INPUT go, jog_on, halt_ok : BOOL; END_VAR\n"
    "VAR_OUTPUT m1, m2, m3, m4, m5, m6, m7 : BOOL; END_VAR\n"
    "m1 := go; m2 := go AND halt_ok; m3 := go AND halt_ok;\n"
    "m4 := go AND (halt_ok OR jog_on); m5 := jog_on; m6 := go OR jog_on;\n"
    "m7 := FALSE;\n"
    "END_PROGRAM\n";

/* m4 while halted: the program asks for it only with jog held, the wiring lets
 * it through only without. */
static const char review[] =
    "REVIEW Ways 'invented'\nSCAN T#100ms;\nCONTROLS\n"
    "  go : BUTTON 'go'; jog : BUTTON 'jog' CONTACTS jog_on CLOSING,\n"
    "  jog_rest OPENING;\n"
    "  halt : STOP 'halt' LATCHING CONTACTS halt_ok OPENING, kill OPENING;\n"
    "  m1 : MOTOR 'm1'; m2 : MOTOR 'm2'; m3 : MOTOR 'm3';\n"
    "  m4 : MOTOR 'm4'; m5 : MOTOR 'm5'; m6 : MOTOR 'm6';\n"
    "  m7 : VALVE 'm7';\nEND_CONTROLS\n"
    "WIRING OUT\n  m1 := COMMANDED m1 AND kill;\n"
    "  m3 := COMMANDED m3 AND kill;\n"
    "  m4 := COMMANDED m4 AND (kill OR jog_rest);\nEND_WIRING\n"
    "MECHANISM Slide\n  VAR pos : (Near, Far); END_VAR\n"
    "  MOVES pos FROM Near TO Far IN T#200ms .. WHILE m5;\n"
    "  MOVES pos FROM Far TO Near WHILE m1;\n"
    "END_MECHANISM\n"
    "REQUIREMENTS R1 'r' : NEVER m1 AND PRESSED halt;\n"
    "END_REQUIREMENTS\nEND_REVIEW\n";

static void test_ways(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, control, review, 0);
    assert_int_equal(a.map->n_stops, 1);
    assert_int_equal(a.map->n_columns, 3); /* go, jog: rescue controls */
    assert_int_equal(a.map->columns[1].kind, STOPMAP_RESCUE);
    expect(&a, "m1", "halt", "w");
    expect(&a, "m2", "halt", "p");
    expect(&a, "m3", "halt", "wp");
    expect(&a, "m4", "halt", "");
    expect(&a, "m5", "halt", "x");
    expect(&a, "m6", "halt", "x");
    assert_true(needs(&a, "m5", "halt", "jog", 1));
    assert_false(needs(&a, "m5", "halt", "go", 0));
    assert_false(needs(&a, "m5", "halt", "go", 1));
    expect_hands(&a, "m5", "halt", "");
    expect_hands(&a, "m6", "halt", "go jog ");
    assert_int_equal(a.map->lines[line_of(&a, "m7")].occurs, CHART_NEVER);
    assert_false(stopmap_stops(a.map, line_of(&a, "m7"), 0));
    assert_true(stopmap_stops(a.map, line_of(&a, "m4"), 0));
    expect_moves(&a, "pos", "halt", "+--");
    expect_moves(&a, "pos", "jog", "++-");
    assert_int_equal(stopmap_exit_code(a.map), 0);
    end(&a);
}

/* Actuators stand before the part that they drive; all else behind. */
static void test_lines(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, control, review, 0);
    assert_int_equal(line_of(&a, "m1"), 0);
    assert_int_equal(line_of(&a, "m5"), 1);
    assert_int_equal(line_of(&a, "pos"), 2);
    assert_int_equal(a.map->lines[2].n_driven_by, 2);
    assert_int_equal(a.map->n_lines, 8);
    end(&a);
}

/* A limit: nothing is then called off that was not looked at. */
static void test_limit(void **unused)
{
    static const char slow[] =
        "PROGRAM Main\nVAR_INPUT go, halt_ok : BOOL; END_VAR\n"
        "VAR_OUTPUT m : BOOL; END_VAR VAR n : INT (0..50); END_VAR\n"
        "IF go AND n < 50 THEN n := n + 1; END_IF;\n"
        "m := n = 40 AND NOT halt_ok;\nEND_PROGRAM\n";
    static const char asks[] =
        "REVIEW Slow 'invented'\nSCAN T#100ms;\nCONTROLS\n"
        "  go : BUTTON 'go'; halt : STOP 'halt' CONTACTS halt_ok OPENING;\n"
        "  m : MOTOR 'm';\nEND_CONTROLS\n"
        "REQUIREMENTS R1 'r' : NEVER m;\nEND_REQUIREMENTS\nEND_REVIEW\n";
    struct asked a;
    struct text words = {0};

    (void)unused;
    begin(&a, slow, asks, 5);
    assert_int_equal(cell(&a, "m", "halt")->on, CHART_NOT_KNOWN);
    assert_int_equal(stopmap_exit_code(a.map), 3);
    stoptext_add(&words, a.map, a.loaded->sources);
    assert_non_null(strstr(text_str(&words), "not known"));
    assert_non_null(strstr(text_str(&words), "Not finished"));
    text_release(&words);
    end(&a);
    begin(&a, slow, asks, 0);
    expect(&a, "m", "halt", "x");
    end(&a);
}

/* ---- the models ---- */

/* The second contacts of the rear stops take the supply of all valves; the
 * latch drops `fresh`, without which nothing is asked for.  The stop in the
 * cab has the latch alone. */
static void test_tailgate(void **unused)
{
    static const char *const valves[] = {"raise_valve", "lower_valve",
                                         "release_valve"};
    struct asked a;

    (void)unused;
    begin_file(&a, "models/tailgate/tailgate.review");
    assert_int_equal(a.map->n_columns, 4);
    assert_int_equal(a.map->n_lines, 4);
    for (int i = 0; i < 3; i++) {
        expect(&a, valves[i], "stop_rear_left", "wp");
        expect(&a, valves[i], "stop_rear_right", "wp");
        expect(&a, valves[i], "stop_cab", "p");
        expect(&a, valves[i], "", "wp");
    }
    for (uint32_t c = 0; c < a.map->n_columns; c++)
        assert_true(stopmap_stops(a.map, line_of(&a, "gap"), c));
    end(&a);
}

#ifndef __SANITIZE_ADDRESS__ /* it takes too long then */
/* While a stop is latched, rescue opens the plate and lifts the carrier, by
 * its own pressure, and only for one of its buttons; nothing closes. */
static void rescue_is_left(const struct asked *a, const char *stop)
{
    static const char *const rescue[] = {"rescue_valve", "plate_open",
                                         "carrier_up"};

    for (int i = 0; i < 3; i++) {
        assert_int_equal(cell(a, rescue[i], stop)->on, CHART_SEEN);
        expect_hands(a, rescue[i], stop, "rescue_l rescue_r ");
    }
    expect_moves(a, "plate", stop, "++---");
    expect_moves(a, "carrier", stop, "---+++-");
    assert_int_equal(cell(a, "plate_close", stop)->on, CHART_NEVER);
    assert_int_equal(cell(a, "carrier_down", stop)->on, CHART_NEVER);
    assert_int_equal(cell(a, "pack_pressure", stop)->on, CHART_NEVER);
}

/* Wiring and what people operate: models/rear_body/README.md. */
static void test_rear_body(void **unused)
{
    struct asked a;

    (void)unused;
    begin_file(&a, "models/rear_body/rear_body.review");
    assert_int_equal(a.map->n_columns, 8);
    rescue_is_left(&a, "stop_rear_left");
    rescue_is_left(&a, "stop_rear_right");
    rescue_is_left(&a, "stop_cab");
    rescue_is_left(&a, "");
    expect(&a, "plate_close", "stop_rear_left", "wp");
    expect(&a, "plate_close", "stop_cab", "p");
    expect(&a, "carrier_release", "stop_rear_left", "p");
    expect(&a, "raise_valve", "pack_stop_left", "x");
    expect_moves(&a, "gap", "stop_cab", "-------");
    assert_true(needs(&a, "raise_valve", "pack_stop_left", "stop_cab", 0));
    expect(&a, "plate_open", "rescue_l", "x");
    assert_true(needs(&a, "plate_open", "rescue_l", "rescue_r", 0));
    end(&a);
}
#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ways),
        cmocka_unit_test(test_lines),
        cmocka_unit_test(test_limit),
        cmocka_unit_test(test_tailgate),
#ifndef __SANITIZE_ADDRESS__
        cmocka_unit_test(test_rear_body),
#endif
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
