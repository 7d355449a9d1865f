/* Cells: numbers that only meet constants take one value per cell; any other
 * use forbids it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "source/diag.h"
#include "tests/support/checked.h"

#define PROGRAM(body)                                                      \
    "FUNCTION Clip : INT\nVAR_INPUT x : INT; END_VAR\n"                    \
    "  IF x > 100 THEN Clip := 100; ELSE Clip := x; END_IF;\n"             \
    "END_FUNCTION\n"                                                       \
    "FUNCTION_BLOCK Copy\nVAR_INPUT i : INT; END_VAR\n"                    \
    "VAR_OUTPUT o : INT; END_VAR\n  o := i;\nEND_FUNCTION_BLOCK\n"         \
    "PROGRAM Main\nVAR_INPUT v : INT; t : TIME; s : INT (0 .. 9);\n"       \
    "END_VAR\n"                                                            \
    "VAR n : INT; b : BOOL; c : Copy; d : TON; k : SINT; END_VAR\n" body   \
    "END_PROGRAM\n"

/* The cells of Main.v: their first values, -1 where there is no model. */
static void expect_cells(const char *control, const int64_t *lows, int count)
{
    struct checked it;
    const struct choice *choice;

    checked_init(&it, control, NULL);
    assert_non_null(it.model);
    choice = checked_choice(&it, CHOICE_INPUT, "Main.v");
    assert_int_equal(choice->count, count);
    assert_non_null(choice->cell_low);
    for (int i = 0; i < count; i++) {
        assert_int_equal(choice->cell_low[i], lows[i]);
        assert_int_equal(choice->cell_high[i],
                         i + 1 < count ? lows[i + 1] - 1 : INT16_MAX);
        assert_true(choice->values[i] >= choice->cell_low[i] &&
                    choice->values[i] <= choice->cell_high[i]);
    }
    assert_int_equal(choice->values[choice->rest], 0);
    checked_release(&it);
}

static void comparisons_cut(void **state)
{
    (void)state;
    expect_cells(PROGRAM("  b := v < 10;\n"),
                 (const int64_t[]){INT16_MIN, 10}, 2);
    expect_cells(PROGRAM("  b := 10 < v;\n"),
                 (const int64_t[]){INT16_MIN, 11}, 2);
    expect_cells(PROGRAM("  b := v = 10;\n"),
                 (const int64_t[]){INT16_MIN, 10, 11}, 3);
    expect_cells(PROGRAM("  CASE v OF 1 .. 3: b := TRUE; END_CASE;\n"),
                 (const int64_t[]){INT16_MIN, 1, 4}, 3);
}

static void copies_and_calls_are_followed(void **state)
{
    (void)state;
    expect_cells(PROGRAM("  n := Clip(v);\n  b := n >= 20;\n"),
                 (const int64_t[]){INT16_MIN, 20, 101}, 3);
    expect_cells(PROGRAM("  c(i := v, o => n);\n  b := c.o >= 7;\n"),
                 (const int64_t[]){INT16_MIN, 7}, 2);
    expect_cells(PROGRAM("  k := v;\n"),
                 (const int64_t[]){INT16_MIN, INT8_MIN, INT8_MAX + 1}, 3);
}

static void left_open(const char *body, const char *what)
{
    struct checked it;
    bool found = false;

    checked_init(&it, body, NULL);
    assert_non_null(it.model);
    for (uint32_t i = 0; i < it.model->n_open_places; i++)
        found |= strcmp(it.model->open_places[i].what, what) == 0;
    assert_true(found);
    checked_release(&it);
}

static void other_uses_forbid_cells(void **state)
{
    (void)state;
    left_open(PROGRAM("  b := v + 1 > 3;\n"), "v + 1");
    left_open(PROGRAM("  b := v > s;\n"), "v > s");
    left_open(PROGRAM("  c(i := v, o => n);\n  n := -c.o;\n"), "-c.o");
    left_open(PROGRAM("  d(IN := TRUE, PT := t);\n"),
              "d(IN := TRUE, PT := t);");
}

static void a_duration_by_the_back_door(void **state)
{
    struct checked it;

    (void)state;
    checked_init(&it, PROGRAM("  d.PT := t;\n  d(IN := TRUE);\n"), NULL);
    assert_null(it.model);
    assert_int_equal(diags_errors(it.diags), 1);
    checked_release(&it);
}

static void small_ranges_are_listed(void **state)
{
    struct checked it;
    const struct choice *choice;

    (void)state;
    checked_init(&it, PROGRAM("  n := s + 1;\n"), NULL);
    assert_non_null(it.model);
    choice = checked_choice(&it, CHOICE_INPUT, "Main.s");
    assert_int_equal(choice->count, 10);
    assert_null(choice->cell_low);
    assert_int_equal(choice->values[9], 9);
    assert_int_equal(it.model->n_errors, 0);
    checked_release(&it);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(comparisons_cut),
        cmocka_unit_test(copies_and_calls_are_followed),
        cmocka_unit_test(other_uses_forbid_cells),
        cmocka_unit_test(a_duration_by_the_back_door),
        cmocka_unit_test(small_ranges_are_listed)};

    return cmocka_run_group_tests_name("values", tests, NULL, NULL);
}
