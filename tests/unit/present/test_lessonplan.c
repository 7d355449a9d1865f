/* The text of a lesson, read line by line. */
#include "present/lessonplan.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"

static struct arena *arena;

static struct plan read(const char *text)
{
    return lessonplan_read(arena, text, strlen(text));
}

static void is(const struct plan_line *line, enum plan_kind kind,
               unsigned number, const char *words)
{
    assert_int_equal(line->kind, kind);
    assert_int_equal(line->line, number);
    assert_string_equal(line->words, words);
}

static void test_all_kinds(void **unused)
{
    const struct plan plan =
        read("# Rescue \r\n\nFirst line,\n  second line.\n- one\n  more\n"
             "- two\nPLAY Under\nBREAK R4 ON  changes/a b.st\n\nend");

    (void)unused;
    assert_null(plan.failure);
    assert_int_equal(plan.n, 7);
    is(&plan.lines[0], PLAN_HEADING, 1, "Rescue");
    is(&plan.lines[1], PLAN_WORDS, 3, "First line, second line.");
    is(&plan.lines[2], PLAN_ITEM, 5, "one more");
    is(&plan.lines[3], PLAN_ITEM, 7, "two");
    is(&plan.lines[4], PLAN_PLAY, 8, "Under");
    assert_null(plan.lines[4].control);
    is(&plan.lines[5], PLAN_BREAK, 9, "R4");
    assert_string_equal(plan.lines[5].control, "changes/a b.st");
    is(&plan.lines[6], PLAN_WORDS, 11, "end");
}

static void test_nothing(void **unused)
{
    (void)unused;
    assert_int_equal(read("").n, 0);
    assert_int_equal(read("\n\n").n, 0);
}

static void test_mistakes(void **unused)
{
    (void)unused;
    assert_int_equal(read("a\nPLAY x IN y\n").wrong, 2);
    assert_non_null(read("PLAY x ON\n").failure);
    assert_non_null(read("BREAK  \n\nPLAY a ON b").failure);
}

static int begin(void **unused)
{
    (void)unused;
    arena = arena_new();
    return 0;
}

static int end(void **unused)
{
    (void)unused;
    arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_kinds), cmocka_unit_test(test_nothing),
        cmocka_unit_test(test_mistakes),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
