/* Statements and calls of control text, computed and compared with values
 * worked out by hand. */
#include "lower/unfold.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"
#include "tests/support/text_model.h"

/* A program with inputs p, q and n (0 .. 9). */
static void start(struct text_model *text, const char *units,
                  const char *variables, const char *body)
{
    static const char frame[] =
        "TYPE Small : INT (0 .. 9); END_TYPE\n"
        "%s\n"
        "PROGRAM Main\n"
        "VAR_INPUT p, q : BOOL; n : Small; END_VAR\n"
        "VAR %s END_VAR\n"
        "%s\n"
        "END_PROGRAM\n";
    struct arena *arena = arena_new();
    text_model_init(text, arena_printf(arena, frame, units, variables, body),
                    NULL, false);
    arena_free(arena);
    assert_non_null(text->run);
}

static int64_t after(struct text_model *text, uint32_t p, uint32_t q,
                     uint32_t n, const char *path)
{
    text_model_choose(text, "Main.p", p);
    text_model_choose(text, "Main.q", q);
    text_model_give(text, "Main.n", n);
    text_model_scan(text);
    return text_model_value(text, path);
}

static void branches(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, "", "x, z : INT;",
          "z := 1;\n"
          "IF p THEN x := 1; z := 2; ELSIF q THEN x := x + n; ELSE z := x; "
          "END_IF;");
    assert_int_equal(after(&t, 1, 1, 5, "Main.x"), 1);
    assert_int_equal(text_model_value(&t, "Main.z"), 2);
    assert_int_equal(after(&t, 0, 1, 5, "Main.x"), 6);
    assert_int_equal(text_model_value(&t, "Main.z"), 1);
    assert_int_equal(after(&t, 0, 0, 5, "Main.x"), 6);
    assert_int_equal(text_model_value(&t, "Main.z"), 6);
    text_model_release(&t);
}

/* The first group that has the value wins; with none nothing happens. */
static void first_group(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, "", "x : INT;",
          "CASE n OF 1, 3 .. 5: x := 1; 4, 6: x := 2; 8: x := 3; "
          "ELSE x := x + 10; END_CASE;");
    assert_int_equal(after(&t, 0, 0, 4, "Main.x"), 1);
    assert_int_equal(after(&t, 0, 0, 6, "Main.x"), 2);
    assert_int_equal(after(&t, 0, 0, 2, "Main.x"), 12);
    assert_int_equal(after(&t, 0, 0, 8, "Main.x"), 3);
    text_model_release(&t);
}

static const char swap[] =
    "FUNCTION Twice : INT\n"
    "VAR_INPUT v : INT; END_VAR VAR_OUTPUT odd : BOOL; END_VAR\n"
    "VAR seen : INT; END_VAR\n"
    "seen := seen + 1; odd := v MOD 2 = 1; Twice := 2 * v + seen;\n"
    "END_FUNCTION\n"
    "FUNCTION_BLOCK Swap\n"
    "VAR_IN_OUT a, b : INT; END_VAR VAR_INPUT go : BOOL; END_VAR\n"
    "VAR_OUTPUT calls : INT; END_VAR VAR_TEMP t : INT; END_VAR\n"
    "calls := (calls + 1) MOD 5;\n"
    "IF go THEN t := a; a := b; b := t; END_IF;\n"
    "END_FUNCTION_BLOCK\n";

/* A function begins afresh at each call; nested, its inputs come first. */
static void functions(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, swap, "x : INT; o : BOOL;",
          "x := Twice(Twice(n)) - Twice(1); x := x + Twice(v := n, "
          "odd => o);");
    /* Twice(n) = 2n+1; Twice of that 4n+3; Twice(1) = 3; 4n + 2n+1 */
    assert_int_equal(after(&t, 0, 0, 3, "Main.x"), 19);
    assert_int_equal(text_model_value(&t, "Main.o"), 1);
    assert_int_equal(after(&t, 0, 0, 4, "Main.x"), 25);
    assert_int_equal(text_model_value(&t, "Main.o"), 0);
    text_model_release(&t);
}

/* Through VAR_IN_OUT the block writes the variables of the call; omitted
 * inputs keep their value. */
static void blocks(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, swap, "s, r : Swap; x : INT := 1; y : INT := 2; c : INT;",
          "IF q THEN s(a := x, b := y, go := p); ELSE s(a := y, b := x); "
          "END_IF;\nr(a := x, b := c, go := FALSE, calls => c);");
    assert_int_equal(after(&t, 1, 1, 0, "Main.x"), 2);
    assert_int_equal(text_model_value(&t, "Main.y"), 1);
    assert_int_equal(text_model_value(&t, "Main.c"), 1);
    assert_int_equal(after(&t, 0, 0, 0, "Main.x"), 1); /* go still TRUE */
    assert_int_equal(text_model_value(&t, "Main.s.calls"), 2);
    assert_int_equal(after(&t, 0, 1, 0, "Main.x"), 1);
    text_model_release(&t);
}

/* What the condition of an ELSIF writes is written only where the branches
 * before it are not taken. */
static void conditions_that_write(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, swap, "o : BOOL; x : INT;",
          "IF p THEN x := 1; ELSIF Twice(v := n, odd => o) > 5 THEN x := 2; "
          "ELSE x := 3; END_IF;");
    assert_int_equal(after(&t, 1, 0, 3, "Main.x"), 1);
    assert_int_equal(text_model_value(&t, "Main.o"), 0);
    assert_int_equal(after(&t, 0, 0, 3, "Main.x"), 2);
    assert_int_equal(text_model_value(&t, "Main.o"), 1);
    assert_int_equal(after(&t, 1, 0, 2, "Main.x"), 1);
    assert_int_equal(text_model_value(&t, "Main.o"), 1);
    assert_int_equal(after(&t, 0, 0, 2, "Main.x"), 3);
    assert_int_equal(text_model_value(&t, "Main.o"), 0);
    text_model_release(&t);
}

static void operators(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, "", "a, b, c, d : INT; e, f : BOOL;",
          "a := (n - 5) / 2; b := (n - 5) MOD 3; c := -n + 2 * n; "
          "d := n - 5; e := p XOR q; f := (d >= a) = (d <= b);");
    assert_int_equal(after(&t, 1, 0, 0, "Main.a"), -2);
    assert_int_equal(text_model_value(&t, "Main.b"), -2);
    assert_int_equal(text_model_value(&t, "Main.c"), 0);
    assert_int_equal(text_model_value(&t, "Main.e"), 1);
    assert_int_equal(text_model_value(&t, "Main.f"), 0);
    assert_int_equal(after(&t, 1, 1, 9, "Main.a"), 2);
    assert_int_equal(text_model_value(&t, "Main.b"), 1);
    assert_int_equal(text_model_value(&t, "Main.e"), 0);
    text_model_release(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(branches),  cmocka_unit_test(first_group),
        cmocka_unit_test(functions), cmocka_unit_test(blocks),
        cmocka_unit_test(conditions_that_write),
        cmocka_unit_test(operators),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
