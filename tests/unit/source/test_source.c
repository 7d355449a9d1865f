#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <string.h>

#include "base/arena.h"
#include "source/source.h"

struct fixture {
    struct arena *arena;
    struct sources *sources;
};

static int setup(void **state)
{
    static struct fixture fixture;

    fixture.arena = arena_new();
    fixture.sources = sources_new(fixture.arena);
    *state = &fixture;
    return 0;
}

static int teardown(void **state)
{
    struct fixture *fixture = *state;

    sources_free(fixture->sources);
    sources_free(NULL);
    arena_free(fixture->arena);
    return 0;
}

static uint32_t add(struct fixture *f, const char *bytes)
{
    return sources_add(f->sources, "a.st", bytes, strlen(bytes));
}

static void assert_place(struct fixture *f, struct span span, uint32_t line,
                         uint32_t column)
{
    struct place place = sources_place(f->sources, span);

    assert_string_equal(place.path, "a.st");
    assert_int_equal(place.line, line);
    assert_int_equal(place.column, column);
}

static void assert_line(struct fixture *f, uint32_t line, const char *want)
{
    size_t n;
    const char *at = sources_line(f->sources, 1, line, &n);

    assert_int_equal(n, strlen(want));
    assert_memory_equal(at, want, n);
}

static void texts_are_copied_and_counted(void **state)
{
    struct fixture *f = *state;
    char bytes[] = "x := 1;";
    size_t n;

    assert_int_equal(sources_count(f->sources), 0);
    assert_int_equal(add(f, bytes), 1);
    bytes[0] = '?';
    assert_int_equal(sources_add(f->sources, "b.st", "", 0), 2);
    assert_int_equal(sources_count(f->sources), 2);
    assert_string_equal(sources_path(f->sources, 2), "b.st");
    assert_string_equal(sources_text(f->sources, 1, &n), "x := 1;");
    assert_int_equal(n, 7);
}

static void byte_order_mark_is_dropped(void **state)
{
    struct fixture *f = *state;
    size_t n;

    add(f, "\xef\xbb\xbfVAR");
    assert_string_equal(sources_text(f->sources, 1, &n), "VAR");
    assert_int_equal(n, 3);
}

static void places_count_lines(void **state)
{
    struct fixture *f = *state;

    add(f, "ab\n\ncd");
    assert_place(f, (struct span){1, 0, 1}, 1, 1);
    assert_place(f, (struct span){1, 1, 2}, 1, 2);
    assert_place(f, (struct span){1, 2, 3}, 1, 3);
    assert_place(f, (struct span){1, 3, 4}, 2, 1);
    assert_place(f, (struct span){1, 4, 5}, 3, 1);
    assert_place(f, (struct span){1, 6, 6}, 3, 3);
    assert_place(f, (struct span){1, 999, 1000}, 3, 3);
}

static void columns_are_visual(void **state)
{
    struct fixture *f = *state;

    add(f, "\tx\n"           /* 0 */
           "abc\tx\n"        /* 3 */
           "\xc3\xbc x\n"    /* 9: u with diaeresis */
           "\xe9\x96\x80x\n" /* 14: an ideograph of two columns */
           "\x81 x");        /* 19: a stray byte */
    assert_place(f, (struct span){1, 1, 2}, 1, 9);
    assert_place(f, (struct span){1, 7, 8}, 2, 9);
    assert_place(f, (struct span){1, 12, 13}, 3, 3);
    assert_place(f, (struct span){1, 17, 18}, 4, 3);
    assert_place(f, (struct span){1, 21, 22}, 5, 3);
}

static void lines_come_without_their_end(void **state)
{
    struct fixture *f = *state;
    size_t n;

    add(f, "one\r\ntwo\n\r\nlast\r");
    assert_line(f, 1, "one");
    assert_line(f, 2, "two");
    assert_line(f, 3, "");
    assert_line(f, 4, "last\r");
    assert_line(f, 5, "");
    assert_line(f, 0, "");
    assert_string_equal(sources_text(f->sources, 1, &n),
                        "one\r\ntwo\n\r\nlast\r");
}

static void no_place_is_no_place(void **state)
{
    struct fixture *f = *state;
    struct place place = sources_place(f->sources, (struct span){0, 5, 6});

    assert_string_equal(place.path, "");
    assert_int_equal(place.line, 0);
}

static void assert_span(struct span span, uint32_t file, uint32_t from,
                        uint32_t to)
{
    assert_int_equal(span.file, file);
    assert_int_equal(span.from, from);
    assert_int_equal(span.to, to);
}

static void spans_join(void **state)
{
    struct span a = {1, 5, 9}, b = {1, 2, 6}, none = {0, 0, 99};

    (void)state;
    assert_span(span_join(a, b), 1, 2, 9);
    assert_span(span_join(b, a), 1, 2, 9);
    assert_span(span_join(a, none), 1, 5, 9);
    assert_span(span_join(none, a), 1, 5, 9);
    assert_span(span_join(a, (struct span){2, 0, 1}), 1, 5, 9);
}

/* "hold (go OR x) on": "(go OR x)" stands for what is at 10 of file 1, the
 * sign "(" and the blanks for nothing of their own. */
static void words_of_a_made_text(void **state)
{
    struct fixture *f = *state;
    uint32_t from = add(f, "REQUIREMENTS USE T (p := go OR x);");
    uint32_t made = add(f, "hold (go OR x) on; (go OR x)");
    const struct source_piece pieces[] = {
        {5, 6, 1, {from, 10, 10}},  {6, 8, 1, {from, 10, 12}},
        {9, 11, 1, {from, 13, 15}}, {12, 13, 1, {from, 16, 17}},
        {13, 14, 1, {from, 17, 17}}, {19, 20, 2, {from, 10, 10}},
        {20, 22, 2, {from, 10, 12}}};

    sources_made(f->sources, made, (struct span){from, 4, 20}, pieces, 7);
    assert_span(sources_cause(f->sources, made), from, 4, 20);
    assert_int_equal(sources_cause(f->sources, from).file, 0);
    assert_int_equal(sources_cause(f->sources, 0).file, 0);
    assert_span(sources_origin(f->sources, (struct span){made, 6, 8}), from,
                10, 12);
    assert_span(sources_origin(f->sources, (struct span){made, 5, 14}), from,
                10, 17);
    assert_span(sources_origin(f->sources, (struct span){made, 12, 12}),
                from, 16, 17);
    assert_span(sources_origin(f->sources, (struct span){made, 0, 8}), made,
                0, 8);
    assert_span(sources_origin(f->sources, (struct span){made, 9, 17}), made,
                9, 17);
    assert_span(sources_origin(f->sources, (struct span){made, 6, 22}), made,
                6, 22);
    assert_span(sources_origin(f->sources, (struct span){made, 24, 25}),
                made, 24, 25);
    assert_span(sources_origin(f->sources, (struct span){from, 4, 5}), from,
                4, 5);
    assert_span(sources_origin(f->sources, (struct span){0, 4, 5}), 0, 4, 5);
}

#define WITH_SOURCES(test)                                                 \
    cmocka_unit_test_setup_teardown(test, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_SOURCES(texts_are_copied_and_counted),
        WITH_SOURCES(byte_order_mark_is_dropped),
        WITH_SOURCES(places_count_lines),
        WITH_SOURCES(columns_are_visual),
        WITH_SOURCES(lines_come_without_their_end),
        WITH_SOURCES(no_place_is_no_place),
        WITH_SOURCES(spans_join),
        WITH_SOURCES(words_of_a_made_text),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
