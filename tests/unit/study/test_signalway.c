/* The way of a signal through small texts, read off them by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/signaldiagram.h"
#include "study/load.h"
#include "study/signalway.h"
#include "study/study.h"

struct asked {
    struct loaded *loaded;
    struct study study;
    const struct signal_way *way;
};

static void ask(struct asked *asked, const char *name, uint32_t most)
{
    const struct study_setting setting = {0};

    assert_non_null(asked->loaded->model);
    assert_true(study_open(&asked->study, asked->loaded->arena,
                           asked->loaded->model, &setting,
                           asked->loaded->diags));
    asked->way = signalway_find(asked->loaded->arena, asked->loaded->model,
                                asked->study.lowered, name, most);
}

static void begin(struct asked *asked, const char *control, const char *name)
{
    const struct load_instead instead = {"test.st", control,
                                         strlen(control)};
    const struct load_request request = {
        .path = "test.st", .instead = &instead,
        .review = "REVIEW R 'invented'\nSCAN T#100ms;\nCONTROLS\n"
                  "  a : BUTTON 'a'; b : BUTTON 'b'; c : SWITCH 'c';\n"
                  "  y : VALVE 'y'; z : VALVE 'z';\nEND_CONTROLS\n"
                  "REQUIREMENTS R1 'r' : NEVER y AND z;\n"
                  "END_REQUIREMENTS\nEND_REVIEW\n"};

    asked->loaded = load_run(&request);
    ask(asked, name, UINT32_MAX);
    assert_null(asked->way->failure);
}

static void begin_file(struct asked *asked, const char *path,
                       const char *name, uint32_t most)
{
    const struct load_request request = {.path = path};

    asked->loaded = load_run(&request);
    ask(asked, name, most);
}

static void end(struct asked *asked)
{
    study_close(&asked->study);
    loaded_free(asked->loaded);
}

/* Every arrow "from>to", blanks between, as the words of the picture have
 * them, sorted as the way is. */
static void expect(const struct asked *asked, const char *lines)
{
    struct text words = {0};
    const char *at;

    signaldiagram_text(&words, asked->way, asked->loaded->sources);
    at = strstr(text_str(&words), "Every point");
    assert_non_null(at);
    for (const char *line = lines; *line != '\0';) {
        size_t n = strcspn(line, "\n");
        struct text one = {0};

        text_add_bytes(&one, line, n);
        if (strstr(at, text_str(&one)) == NULL)
            fail_msg("'%s' is not in:\n%s", text_str(&one), at);
        text_release(&one);
        line += n + (line[n] == '\n');
    }
    text_release(&words);
}

static void expect_points(const struct asked *asked, uint32_t n)
{
    struct text words = {0};

    signaldiagram_text(&words, asked->way, asked->loaded->sources);
    if (asked->way->n_points != n)
        fail_msg("%u points, not %u:\n%s", (unsigned)asked->way->n_points,
                 (unsigned)n, text_str(&words));
    text_release(&words);
}

#define HEAD                                                               \
    "PROGRAM Main\nVAR_INPUT a, b, c : BOOL; END_VAR\n"                     \
    "VAR_OUTPUT y, z : BOOL; END_VAR\n"

/* A condition gives what is assigned under it its value, too, and one behind
 * which a RETURN stands all that follows; b has no part in y. */
static void test_conditions(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, HEAD "VAR m : BOOL; END_VAR\n"
          "IF a THEN m := TRUE; ELSE m := FALSE; END_IF;\n"
          "y := m;\nz := b;\nEND_PROGRAM\n", "a");
    expect_points(&a, 3);
    expect(&a, "m, variable (test.st, line 5): from a\n"
               "y, valve (test.st, line 6): from m\n");
    end(&a);
    begin(&a, HEAD "y := b;\nIF c THEN RETURN; END_IF;\nz := b;\n"
          "END_PROGRAM\n", "c");
    expect_points(&a, 2);
    expect(&a, "z, valve (test.st, line 6): from c\n");
    end(&a);
}

/* A latch is remembered; a timer is one point with all its variables. */
static void test_latch_and_timer(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, HEAD "VAR l : BOOL; late : TON; END_VAR\n"
          "l := (l OR a) AND NOT b;\n"
          "late(IN := l, PT := T#300ms);\ny := late.Q;\nz := l;\n"
          "END_PROGRAM\n", "a");
    expect_points(&a, 5);
    expect(&a, "l, variable, remembered (test.st, line 5): from a\n"
               "late, timer TON (test.st, line 6): from l\n"
               "y, valve (test.st, line 7): from late\n"
               "z, valve (test.st, line 8): from l\n");
    end(&a);
}

/* Calls of one function are not mixed up; a VAR_IN_OUT is what is bound to
 * it; an array is one point, and its index has a part. */
static void test_calls(void **unused)
{
    struct asked a;

    (void)unused;
    begin(&a, "FUNCTION Turned : BOOL VAR_INPUT i : BOOL; END_VAR\n"
          "Turned := NOT i;\nEND_FUNCTION\n" HEAD
          "y := Turned(a);\nz := Turned(b);\nEND_PROGRAM\n", "a");
    expect_points(&a, 2);
    expect(&a, "y, valve (test.st, line 7): from a\n");
    end(&a);
    begin(&a, "FUNCTION_BLOCK Put VAR_INPUT i : BOOL; END_VAR\n"
          "VAR_IN_OUT o : BOOL; END_VAR\no := i;\nEND_FUNCTION_BLOCK\n" HEAD
          "VAR put : Put; m, n : BOOL; END_VAR\n"
          "put(i := a, o := m);\ny := m;\nz := n;\nEND_PROGRAM\n", "a");
    expect_points(&a, 4);
    expect(&a, "put.i, variable (test.st, line 9): from a\n"
               "m, variable (test.st, line 3): from put.i\n"
               "y, valve (test.st, line 10): from m\n");
    end(&a);
    begin(&a, HEAD "VAR r : ARRAY [0..2] OF BOOL; i : INT (0..2); END_VAR\n"
          "IF c THEN i := 2; ELSE i := 0; END_IF;\n"
          "r[1] := a; y := r[i]; z := b;\nEND_PROGRAM\n", "y");
    expect_points(&a, 5);
    expect(&a, "i, variable (test.st, line 5): from c\n"
               "r, variable (test.st, line 6): from a\n"
               "from r, i\n");
    end(&a);
}

/* By hand from models/tailgate: control, contact, latch, two-hand block with
 * its timer, command, wiring, valve, gate; and the horn behind its timer. */
static void test_tailgate(void **unused)
{
    struct asked a;

    (void)unused;
    begin_file(&a, "models/tailgate/tailgate.review", "stop_rear_left",
               UINT32_MAX);
    expect_points(&a, 21);
    expect(&a, "stop_rl_2, opening contact: from left rear stop\n"
               "stopped, variable, remembered (tailgate.st, line 110): from "
               "stops_ok\n"
               "tailgate lowers, valve (tailgate.review, line 37): from "
               "stop_rl_2, COMMANDED lower_valve\n"
               "tail, timer TOF (tailgate.st, line 138): from COMMANDED "
               "lower_valve\n"
               "lowering horn, horn (tailgate.st, line 139): from tail\n");
    end(&a);
    begin_file(&a, "models/tailgate/tailgate.review",
               "stop_rear_left,gate_horn", UINT32_MAX);
    expect_points(&a, 13);
    end(&a);
}

/* Too many to be read: blocks, then programs, stand for their variables. */
static void test_grain(void **unused)
{
    struct asked a;

    (void)unused;
    begin_file(&a, "models/tailgate/tailgate.review", "lower_valve", 30);
    assert_int_equal(a.way->grain, WAY_BLOCKS);
    assert_true(a.way->n_points <= 30 && a.way->n_finest > 30);
    end(&a);
    begin_file(&a, "models/tailgate/tailgate.review", "lower_valve", 5);
    assert_int_equal(a.way->grain, WAY_PROGRAMS);
    end(&a);
}

static void test_names(void **unused)
{
    struct asked a;

    (void)unused;
    begin_file(&a, "models/tailgate/tailgate.review", "STOPPED", 30);
    assert_true(a.way->forward && a.way->backward);
    end(&a);
    begin_file(&a, "models/tailgate/tailgate.review", "nothing", 30);
    assert_string_equal(a.way->failure,
                        "no control, contact, sensor, actuator or variable "
                        "is called 'nothing'");
    end(&a);
    begin_file(&a, "models/tailgate/tailgate.review", "Q", 30);
    assert_non_null(strstr(a.way->failure, "2 variables are called 'Q'"));
    end(&a);
    begin_file(&a, "models/tailgate/tailgate.review",
               "stop_cab,close_left", 30);
    assert_null(a.way->failure);
    assert_int_equal(a.way->n_points, 0);
    end(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_conditions),
        cmocka_unit_test(test_latch_and_timer),
        cmocka_unit_test(test_calls),
        cmocka_unit_test(test_tailgate),
        cmocka_unit_test(test_grain),
        cmocka_unit_test(test_names),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
