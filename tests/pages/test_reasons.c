/* "Why?" of the trainer's page, run by node without a browser: what is written
 * leads to what is there, scan by scan, and is followed through loops,
 * elements of arrays, counters, latches, pulses and sums.  Where it is not
 * followed the page says what it depends on.  Skipped where there is no
 * node. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "tests/support/random_text.h"
#include "tests/support/shell.h"

/* Random texts, and of the good ones one in so many. */
#ifdef TEST_WHOLE
enum { TEXTS = 40, ONE_IN = 1 };
#else
enum { TEXTS = 6, ONE_IN = 4 };
#endif

/* Buttons a, b and c; outputs are lamp and speed, all else is inside. */
static const char review[] =
    "REVIEW Small 'small machine'\n  CONTROL 'small.st';\n  SCAN T#100ms;\n"
    "  CONTROLS\n    a : BUTTON 'a'; b : BUTTON 'b'; c : BUTTON 'c';\n"
    "    lamp : LAMP 'lamp';\n  END_CONTROLS\nEND_REVIEW\n";

/* vars: declarations; body: statements that set lamp. */
static void make(const char *types, const char *vars, const char *body)
{
    struct text text = {0};

    text_printf(&text, "%sPROGRAM Main\nVAR_INPUT a, b, c : BOOL; END_VAR\n"
                "VAR_OUTPUT lamp : BOOL; END_VAR\nVAR %s END_VAR\n%s\n"
                "END_PROGRAM\n", types, vars, body);
    shell_put(shell_place(), "small.st", text_str(&text));
    shell_put(shell_place(), "small.review", review);
    text_release(&text);
    if (shell_run("%s lesson -o %s/small.html %s/small.review 2>&1",
                  shell_program(), shell_place(), shell_place()) != 0)
        fail_msg("%s", shell_output());
}

/* Those named are followed to the end. */
static void walk(const char *names)
{
    if (shell_run("node tests/pages/reasons.js %s/small.html walk %s 2>&1",
                  shell_place(), names) != 0)
        fail_msg("%s: %s", names, shell_output());
}

static void tell(const char *steps, const char *names)
{
    if (shell_run("node tests/pages/reasons.js %s/small.html tell '%s' %s "
                  "2>&1", shell_place(), steps, names) != 0)
        fail_msg("%s: %s", names, shell_output());
}

/* ---- what is followed ---- */

static void test_counter(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "up : CTU; down : CTD; both : CTUD;",
         "up(CU := a, R := b, PV := 3);\ndown(CD := a, LD := c, PV := 2);\n"
         "both(CU := a, CD := b, R := c, LD := FALSE, PV := 2);\n"
         "lamp := up.Q AND NOT down.Q OR both.QU;");
    walk("lamp up.Q down.Q both.QU both.QD up.CV down.CV both.CV");
    tell("1 a=1 1 a=0 1 a=1 1", "up.Q up.CV");
    shell_expect("up.Q: false");
    shell_expect("[false] a count: 2 of 3 reached; counted is each time this "
                 "comes true: up.CU is TRUE; set back by: up.R is TRUE");
    shell_expect("missing: the count is at least 3");
    shell_expect("up.CV: 2");
    shell_expect("up.CV (one scan before): 1");
    tell("1 a=1 1 a=0 1 a=1 1 a=0 1 a=1 1", "up.Q");
    shell_expect("[true] a count: 3 of 3 reached");
}

static void test_latch(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "first : SR; second : RS;",
         "first(S1 := a, R := b);\nsecond(S := a, R1 := b);\n"
         "lamp := first.Q1 AND NOT second.Q1;");
    walk("lamp first.Q1 second.Q1");
    tell("1 a=1 1 a=0 1", "first.Q1");
    shell_expect("first.Q1: true");
    shell_expect("[true] one scan before: first.Q1 is TRUE");
    shell_expect("missing: first.R is TRUE");
}

static void test_pulse_and_timers(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "pulse : TP; on : TON; off : TOF;",
         "pulse(IN := a, PT := T#300ms);\non(IN := b, PT := T#200ms);\n"
         "off(IN := c, PT := T#200ms);\nlamp := pulse.Q OR on.Q AND off.Q;");
    walk("lamp pulse.Q on.Q off.Q");
    tell("1 a=1 1 a=0 1", "pulse.Q on.Q off.Q");
    shell_expect("[true] its pulse runs; one begins when this comes true: "
                 "pulse.IN is TRUE (100 ms of 300 ms)");
    shell_expect("[false] its set time has run (0 ms of 200 ms)");
    shell_expect("[false] it is held on afterwards (0 ms of 200 ms)");
    tell("1 b=1 c=1 3 c=0 1", "on.Q off.Q");
    shell_expect("[true] its set time has run (200 ms of 200 ms)");
    shell_expect("[true] it is held on afterwards (0 ms of 200 ms)");
}

static void test_loop_that_counts(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "bits : ARRAY [0 .. 3] OF BOOL; i, n : INT;",
         "bits[0] := a; bits[1] := b; bits[2] := c; bits[3] := a AND c;\n"
         "n := 0;\nFOR i := 0 TO 3 DO\n  IF bits[i] THEN n := n + 1; "
         "END_IF;\nEND_FOR;\nlamp := n >= 3;");
    walk("lamp n");
    tell("a=1 1 c=1 1", "lamp");
    shell_expect("lamp: true");
    shell_expect("a count: 3 of 3 reached");
    shell_expect("[true] bits[3] is TRUE");
    shell_expect("[false] bits[1] is TRUE");
}

static void test_loop_left(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "bits : ARRAY [1 .. 3] OF BOOL; i, first, k, seen : INT;",
         "bits[1] := a; bits[2] := b; bits[3] := c;\nfirst := 0;\n"
         "FOR i := 1 TO 3 DO\n  IF NOT bits[i] THEN CONTINUE; END_IF;\n"
         "  first := i;\n  EXIT;\nEND_FOR;\nk := 1; seen := 0;\n"
         "WHILE k <= 3 DO\n  IF bits[k] THEN seen := seen + 2; END_IF;\n"
         "  k := k + 1;\nEND_WHILE;\n"
         "lamp := first = 2 AND seen > 2;");
    walk("lamp first seen");
    tell("b=1 c=1 2", "first lamp");
    shell_expect("first: 2");
    shell_expect("[true] bits[1] is FALSE");
    shell_expect("[true] bits[2] is TRUE");
    shell_expect("lamp: true");
}

static void test_array_by_index(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "marks : ARRAY [0 .. 2] OF BOOL; at : INT (0 .. 2); was : BOOL;",
         "IF a AND NOT was THEN at := (at + 1) MOD 3; END_IF;\nwas := a;\n"
         "marks[at] := b;\nlamp := marks[2 - at];");
    walk("lamp at marks[0] marks[2]");
    tell("1 a=1 1 b=1 1", "marks[1]");
    shell_expect("[true] at is 1");
    shell_expect("[true] b is held");
}

static void test_arithmetic(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("TYPE Step : (Idle, Fill, Press); END_TYPE\n",
         "level, weight : INT (0 .. 20); step : Step;",
         "IF a AND level < 10 THEN level := level + 2; ELSIF b THEN level := "
         "0; END_IF;\nweight := MIN(level * 2, 15) + 1;\n"
         "CASE step OF\n  Idle: IF a THEN step := Fill; END_IF;\n"
         "  Fill: IF weight > 9 THEN step := Press; END_IF;\n"
         "  Press: IF c THEN step := Idle; END_IF;\nEND_CASE;\n"
         "lamp := step = Press AND weight - level >= 4;");
    walk("lamp level weight step");
    tell("1 a=1 2", "lamp");
    shell_expect("[false] step is Press (now Fill)");
    shell_expect("[false] weight is above 9 (now 9)");
    shell_expect("weight - level is at least 4 (now 5)");
}

static void test_calls(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("FUNCTION Both : INT\nVAR_INPUT x, y : BOOL; END_VAR\n"
         "VAR_OUTPUT any : BOOL; END_VAR\nany := x OR y;\nBoth := 0;\n"
         "IF NOT any THEN RETURN; END_IF;\nIF x AND y THEN Both := 2; ELSE "
         "Both := 1; END_IF;\nEND_FUNCTION\n"
         "FUNCTION_BLOCK Flip\nVAR_IN_OUT at : BOOL; END_VAR\n"
         "VAR_INPUT go : BOOL; END_VAR\nIF NOT go THEN RETURN; END_IF;\n"
         "at := NOT at;\nEND_FUNCTION_BLOCK\n",
         "n : INT; some, state : BOOL; flips : ARRAY [1 .. 2] OF Flip; "
         "i : INT;",
         "n := Both(x := a, y := b, any => some);\n"
         "FOR i := 1 TO 2 DO\n  flips[i](at := state, go := a AND (i = 1 OR "
         "b));\nEND_FOR;\nlamp := n = 2 OR some AND state;");
    walk("lamp n some state");
}

/* ---- what is not followed ---- */

static void test_honest_where_not_followed(void **unused)
{
    (void)unused;
    shell_need("node --version");
    make("", "i, n : INT; word : WORD; hot : BOOL; level AT %ID4 : REAL;",
         "word.0 := a; word.1 := b;\nn := 0;\nFOR i := 1 TO 500 DO\n"
         "  IF a THEN n := (n + 1) MOD 7; END_IF;\nEND_FOR;\n"
         "hot := level > 2.5;\nlamp := n = 3 OR (word AND 16#3) = 2 AND hot;");
    walk("");
    tell("a=1 2", "lamp n hot");
    shell_expect("lamp: true");
    shell_expect("[true] n is 3");
    shell_expect("n: 3\n  depends on\n    a: TRUE");
    shell_expect("hot: FALSE\n  depends on\n    level: a REAL number");
    shell_expect_not("apart");
}

/* ---- many texts ---- */

/* How many reasons were looked at; none where each scan is an error. */
static unsigned walk_file(const char *path)
{
    unsigned n = 0;

    if (shell_run("%s lesson -o %s/page.html %s 2>&1", shell_program(),
                  shell_place(), path) != 0 ||
        shell_run("timeout 100 node tests/pages/reasons.js %s/page.html walk "
                  "2>&1", shell_place()) != 0)
        fail_msg("%s: %s", path, shell_output());
    sscanf(shell_output(), "%u reasons agree", &n);
    return n;
}

/* Without those of which a program rests or power goes in a scan. */
static void test_texts_of_each_construct(void **unused)
{
    char list[16384], *at;
    unsigned n = 0;

    (void)unused;
    shell_need("node --version");
    assert_int_equal(shell_run(
        "ls tests/golden/good/*.review models/*/*.review | "
        "grep -v review-lines"), 0);
    snprintf(list, sizeof list, "%s", shell_output());
    for (at = strtok(list, "\n"); at != NULL; at = strtok(NULL, "\n"))
        if (n++ % ONE_IN == 0)
            walk_file(at);
    assert_in_range(n, 100, 10000);
}

static void test_random_texts(void **unused)
{
    struct arena *arena = arena_new();
    unsigned n = 0;
    char path[128];

    (void)unused;
    shell_need("node --version");
    shell_put(shell_place(), "text.review",
              "REVIEW T 't'\n  CONTROL 'text.st';\n"
              "  SCAN T#100ms;\nEND_REVIEW\n");
    snprintf(path, sizeof path, "%s/text.review", shell_place());
    for (uint64_t seed = 1; seed <= TEXTS; seed++) {
        shell_put(shell_place(), "text.st",
                  random_text(arena, seed, 0, false).control);
        n += walk_file(path);
    }
    print_message("%u reasons of random texts agree\n", n);
    assert_true(n > 1000);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_counter),
        cmocka_unit_test(test_latch),
        cmocka_unit_test(test_pulse_and_timers),
        cmocka_unit_test(test_loop_that_counts),
        cmocka_unit_test(test_loop_left),
        cmocka_unit_test(test_array_by_index),
        cmocka_unit_test(test_arithmetic),
        cmocka_unit_test(test_calls),
        cmocka_unit_test(test_honest_where_not_followed),
        cmocka_unit_test(test_texts_of_each_construct),
        cmocka_unit_test(test_random_texts),
    };
    return cmocka_run_group_tests(tests, shell_set_up,
                                  shell_tear_down);
}
