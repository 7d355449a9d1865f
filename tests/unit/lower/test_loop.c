/* Loops unrolled: answers known from arithmetic, which errors can be reached,
 * and what a long loop costs. */
#include "lower/loop.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "source/diag.h"
#include "tests/support/text_model.h"

enum { NO_ERROR = -1 };

static void start(struct text_model *text, const char *units,
                  const char *variables, const char *body)
{
    static const char frame[] = "%s\nPROGRAM Main\n"
                                "VAR_INPUT p : BOOL; n : INT (0 .. 30); "
                                "END_VAR\nVAR %s END_VAR\n%s\nEND_PROGRAM\n";
    struct arena *arena = arena_new();

    text_model_init(text, arena_printf(arena, frame, units, variables, body),
                    NULL, false);
    arena_free(arena);
    assert_non_null(text->run);
}

static int64_t after(struct text_model *text, uint32_t p, int64_t n,
                     const char *path)
{
    if (p)
        text_model_choose(text, "Main.p", p);
    text_model_give(text, "Main.n", n);
    text_model_scan(text);
    return text_model_value(text, path);
}

/* The sum of 1 .. n is n (n + 1) / 2 (arithmetic). */
static void sums(void **state)
{
    struct text_model t;

    (void)state;
    start(&t, "", "i, up, down, odd : INT;",
          "up := 0; down := 0; odd := 0;\n"
          "FOR i := 1 TO n DO up := up + i; END_FOR;\n"
          "FOR i := n TO 1 BY -1 DO down := down + i; END_FOR;\n"
          "FOR i := 1 TO n BY 2 DO odd := odd + 1; END_FOR;");
    for (int64_t n = 0; n <= 30; n++) {
        assert_int_equal(after(&t, 0, n, "Main.up"), n * (n + 1) / 2);
        assert_int_equal(text_model_value(&t, "Main.down"), n * (n + 1) / 2);
        assert_int_equal(text_model_value(&t, "Main.odd"), (n + 1) / 2);
        assert_int_equal(text_model_value(&t, "Main.i"),
                         n % 2 ? n + 2 : n + 1);
    }
    text_model_release(&t);
}

/* Euclid's algorithm, against the greatest number that divides both; the
 * integer root, by its definition. */
static void searches(void **state)
{
    struct text_model t;

    (void)state;
    start(&t,
          "FUNCTION Common : INT VAR_INPUT a, b : INT; END_VAR\n"
          "VAR x, y, z : INT; END_VAR\n"
          "x := a; y := b;\n"
          "WHILE y <> 0 DO z := x MOD y; x := y; y := z; END_WHILE;\n"
          "Common := x; END_FUNCTION\n",
          "gcd, root : INT;",
          "gcd := Common(n, 18);\nroot := 0;\n"
          "REPEAT root := root + 1; UNTIL root * root > n END_REPEAT\n"
          "root := root - 1;");
    for (int64_t n = 0; n <= 30; n++) {
        int64_t divisor = 18, root = 0;

        while (n % divisor != 0 || 18 % divisor != 0)
            divisor--;
        while ((root + 1) * (root + 1) <= n)
            root++;
        assert_int_equal(after(&t, 0, n, "Main.gcd"), divisor);
        assert_int_equal(text_model_value(&t, "Main.root"), root);
    }
    text_model_release(&t);
}

/* The primes below 30 (number theory): the inner EXIT leaves the inner loop
 * only, CONTINUE the pass, RETURN the function. */
static void nested(void **state)
{
    static const int primes[] = {0, 0, 0, 1, 2, 2, 3, 3, 4, 4, 4, 4, 5, 5, 6,
                                 6, 6, 6, 7, 7, 8, 8, 8, 8, 9, 9, 9, 9, 9, 9,
                                 10};
    struct text_model t;

    (void)state;
    start(&t,
          "FUNCTION Below : INT VAR_INPUT n : INT; END_VAR\n"
          "VAR i, d : INT; prime : BOOL; END_VAR\n"
          "FOR i := 2 TO 40 DO\n"
          "  IF i >= n THEN RETURN; END_IF;\n"
          "  prime := TRUE;\n"
          "  FOR d := 2 TO 6 DO\n"
          "    IF d * d > i THEN EXIT;\n"
          "    ELSIF i MOD d = 0 THEN prime := FALSE; EXIT; END_IF;\n"
          "  END_FOR;\n"
          "  IF NOT prime THEN CONTINUE; END_IF;\n"
          "  Below := Below + 1;\n"
          "END_FOR;\nBelow := -1;\nEND_FUNCTION\n",
          "count : INT;", "count := Below(n);");
    for (int64_t n = 0; n <= 30; n++)
        assert_int_equal(after(&t, 0, n, "Main.count"), primes[n]);
    text_model_release(&t);
}

/* A block and a program that return; what was kept stays. */
static void returns(void **state)
{
    struct text_model t;

    (void)state;
    start(&t,
          "FUNCTION_BLOCK Twice VAR_INPUT go : BOOL; END_VAR\n"
          "VAR_OUTPUT calls : INT; END_VAR\n"
          "IF NOT go THEN RETURN; END_IF;\n"
          "calls := (calls + 1) MOD 100; END_FUNCTION_BLOCK\n",
          "x, y : INT; b : Twice;",
          "b(go := p, calls => y);\nx := 1;\n"
          "IF n > 3 THEN RETURN; END_IF\nx := 2;");
    assert_int_equal(after(&t, 1, 3, "Main.x"), 2);
    assert_int_equal(text_model_value(&t, "Main.y"), 1);
    assert_int_equal(after(&t, 1, 4, "Main.x"), 1);
    text_model_choose(&t, "Main.p", 0);
    assert_int_equal(after(&t, 0, 0, "Main.y"), 2);
    text_model_release(&t);
}

static void in_turn(void **state)
{
    struct text_model t;

    (void)state;
    start(&t,
          "FUNCTION Count : BOOL VAR_IN_OUT calls : INT; END_VAR\n"
          "calls := calls + 1; Count := TRUE; END_FUNCTION\n",
          "a, b, c : INT; x : BOOL;",
          "a := 0; b := 0; c := 0;\n"
          "x := (n > 3) AND_THEN Count(calls := a);\n"
          "x := x OR_ELSE Count(calls := b);\n"
          "x := (n > 3) AND Count(calls := c);");
    assert_int_equal(after(&t, 0, 5, "Main.a"), 1);
    assert_int_equal(text_model_value(&t, "Main.b"), 0);
    assert_int_equal(after(&t, 0, 2, "Main.a"), 0);
    assert_int_equal(text_model_value(&t, "Main.b"), 1);
    assert_int_equal(text_model_value(&t, "Main.c"), 1);
    text_model_release(&t);
}

/* ---- errors ---- */

/* The kind of the error that some input leads to in the first scan, the
 * lowest input first. */
static int reached(const char *variables, const char *body)
{
    struct text_model t;
    int kind = NO_ERROR;

    start(&t, "", variables, body);
    for (int64_t n = 0; n <= 30 && kind == NO_ERROR; n++) {
        uint32_t watch;

        flat_run_restart(t.run);
        text_model_give(&t, "Main.n", n);
        flat_run_scan(t.run, false);
        watch = flat_run_error(t.run);
        if (watch != FLAT_NONE)
            kind = (int)t.model->errors[t.lowered->flat->watches[watch].index]
                       .kind;
    }
    text_model_release(&t);
    return kind;
}

static void errors(void **state)
{
    (void)state;
    assert_int_equal(reached("x : INT;", "WHILE n > 3 DO x := n; END_WHILE;"),
                     ERROR_LOOP);
    assert_int_equal(reached("x : INT;", "x := 0; WHILE x < n DO x := x + 1; "
                                         "END_WHILE;"), NO_ERROR);
    assert_int_equal(reached("x : INT;", "x := 0; REPEAT x := x + 1; UNTIL "
                                         "x = 1000 END_REPEAT"), NO_ERROR);
    assert_int_equal(reached("x : INT;", "x := 0; REPEAT x := x + 1; UNTIL "
                                         "x = 1001 END_REPEAT"), ERROR_LOOP);
    assert_int_equal(reached("x : INT;", "x := 0; WHILE x < 1000 DO x := "
                                         "x + 1; END_WHILE;"), NO_ERROR);
    assert_int_equal(reached("x : INT;", "x := 0; WHILE x < 1001 DO x := "
                                         "x + 1; END_WHILE;"), ERROR_LOOP);
    assert_int_equal(reached("i : INT;", "FOR i := 0 TO 20 BY n DO ; "
                                         "END_FOR;"), ERROR_STEP);
    assert_int_equal(reached("i : INT;", "FOR i := 0 TO 20 BY n + 1 DO ; "
                                         "END_FOR;"), NO_ERROR);
    assert_int_equal(reached("u : USINT;", "FOR u := 250 TO 255 DO ; "
                                           "END_FOR;"), ERROR_COUNT);
    assert_int_equal(reached("u : USINT;", "FOR u := 250 TO 254 DO ; "
                                           "END_FOR;"), NO_ERROR);
    assert_int_equal(reached("u : USINT;", "FOR u := 250 TO 255 DO IF u = "
                                           "255 THEN EXIT; END_IF; END_FOR;"),
                     NO_ERROR);
    assert_int_equal(reached("s : INT (0 .. 4);", "FOR s := 4 TO 0 BY -1 DO "
                                                  "; END_FOR;"), ERROR_COUNT);
    assert_int_equal(reached("s : INT (0 .. 9); ", "FOR s := n TO 3 DO ; "
                                                   "END_FOR;"),
                     ERROR_SUBRANGE);
    assert_int_equal(reached("x : INT; b : BOOL;", "b := (n <> 0) AND_THEN "
                                                   "(20 / n > 3);"),
                     NO_ERROR);
    assert_int_equal(reached("x : INT; b : BOOL;", "b := (n <> 0) AND "
                                                   "(20 / n > 3);"),
                     ERROR_DIVISION);
    assert_int_equal(reached("l : LINT;", "FOR l := 9223372036854775806 TO "
                                          "9223372036854775807 DO ; "
                                          "END_FOR;"), ERROR_COUNT);
}

/* ---- what it costs ---- */

static double seconds(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* 1,000 passes over 20 statements.  `EXIT` hangs on an input, so that no
 * pass is sure. */
static void long_loops_are_cheap(void **state)
{
    struct text body = {0};
    struct text_model t;
    double began;

    (void)state;
    text_add(&body, "x0 := n;\nFOR i := 1 TO 1000 DO\n");
    for (int k = 0; k < 19; k++)
        text_printf(&body, "x%d := (x%d + i) MOD 100;\n", (k + 1) % 20, k);
    text_add(&body, "IF p AND x7 = 99 THEN EXIT; END_IF;\nEND_FOR;\n");
    began = seconds();
    start(&t, "", "i, x0, x1, x2, x3, x4, x5, x6, x7, x8, x9, x10, x11, x12, "
                  "x13, x14, x15, x16, x17, x18, x19 : INT;",
          text_str(&body));
    print_message("1,000 passes over 20 statements: %.2f s, %u values\n",
                  seconds() - began, t.lowered->flat->n_nodes);
#ifndef __SANITIZE_ADDRESS__
    assert_true(seconds() - began < 1.0);
#endif
    text_release(&body);
    text_model_release(&t);
}

/* Loops within loops that come to more than can be looked at are refused in
 * a moment, at their place. */
static void too_long_is_refused(void **state)
{
    struct text_model t;
    double began = seconds();

    (void)state;
    text_model_init(&t, "PROGRAM Main VAR i, j : INT; x : DINT; END_VAR\n"
                        "FOR i := 1 TO 2000 DO FOR j := 1 TO 2000 DO\n"
                        "x := (x + j) MOD 7; END_FOR; END_FOR;\n"
                        "END_PROGRAM", NULL, true);
    assert_non_null(t.model);
    assert_null(t.lowered);
    assert_int_equal(diags_errors(t.diags), 1);
    for (size_t i = 0; i < diags_count(t.diags); i++)
        if (diags_at(t.diags, i)->severity == DIAG_ERROR)
            assert_non_null(strstr(diags_at(t.diags, i)->message,
                                   "more passes than can be looked at"));
    print_message("refused after %.2f s\n", seconds() - began);
    text_model_release(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sums),
        cmocka_unit_test(searches),
        cmocka_unit_test(nested),
        cmocka_unit_test(returns),
        cmocka_unit_test(in_turn),
        cmocka_unit_test(errors),
        cmocka_unit_test(long_loops_are_cheap),
        cmocka_unit_test(too_long_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
