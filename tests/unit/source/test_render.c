#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"

struct fixture {
    struct arena *arena;
    struct sources *sources;
    struct diags *diags;
    struct text out;
};

static int setup(void **state)
{
    static struct fixture fixture;

    fixture.arena = arena_new();
    fixture.sources = sources_new(fixture.arena);
    fixture.diags = diags_new(fixture.arena);
    *state = &fixture;
    return 0;
}

static int teardown(void **state)
{
    struct fixture *fixture = *state;

    text_release(&fixture->out);
    diags_free(fixture->diags);
    diags_free(NULL);
    sources_free(fixture->sources);
    arena_free(fixture->arena);
    return 0;
}

/* The span of the first mark in a text added under this path. */
static struct span add(struct fixture *f, const char *path,
                       const char *bytes, const char *mark)
{
    const char *at = strstr(bytes, mark);
    uint32_t from = (uint32_t)(at - bytes);
    struct span span = {0, from, from + (uint32_t)strlen(mark)};

    span.file = sources_add(f->sources, path, bytes, strlen(bytes));
    return span;
}

static const char *render(struct fixture *f)
{
    text_clear(&f->out);
    render_diags(&f->out, f->sources, f->diags);
    return text_str(&f->out);
}

static void shows_place_line_and_advice(void **state)
{
    struct fixture *f = *state;
    struct span span =
        add(f, "tailgate.st",
            "\n\n\n\n\n\n\n\n\n\n\n    x := close_lft AND stop_ok;\n",
            "close_lft");

    diag_add(f->diags, DIAG_ERROR, span,
             "declare it, or write 'close_left', declared on line 4",
             "'%s' is not declared", "close_lft");
    assert_string_equal(
        render(f),
        "tailgate.st:12:10: error: 'close_lft' is not declared\n"
        "   12 |     x := close_lft AND stop_ok;\n"
        "      |          ^~~~~~~~~\n"
        "   what to do: declare it, or write 'close_left', declared on "
        "line 4\n");
}

static void shows_the_second_place(void **state)
{
    struct fixture *f = *state;
    struct span span =
        add(f, "a.st", "gate : BOOL;\nGATE : INT;\n", "GATE");
    struct span first = {span.file, 0, 4};

    diag_add(f->diags, DIAG_WARNING, span, "rename one of them",
             "'GATE' is declared twice");
    diag_also(f->diags, first, "first declared here");
    assert_string_equal(render(f),
                        "a.st:2:1: warning: 'GATE' is declared twice\n"
                        "    2 | GATE : INT;\n"
                        "      | ^~~~\n"
                        "a.st:1:1: note: first declared here\n"
                        "    1 | gate : BOOL;\n"
                        "      | ^~~~\n"
                        "   what to do: rename one of them\n");
}

static void underlines_what_is_seen(void **state)
{
    struct fixture *f = *state;

    diag_add(f->diags, DIAG_NOTE, add(f, "t.st", "ab\tgate\tx;", "gate\t"),
             NULL, "tabs");
    diag_add(f->diags, DIAG_NOTE,
             add(f, "u.st", "(* T\xc3\xbcr \xe9\x96\x80 *) gate;", "gate"),
             NULL, "umlaut and ideograph");
    diag_add(f->diags, DIAG_NOTE,
             add(f, "b.st", "a\x1b[1m\xff gate", "gate"), NULL,
             "control character and stray byte");
    assert_string_equal(render(f),
                        "t.st:1:9: note: tabs\n"
                        "    1 | ab      gate    x;\n"
                        "      |         ^~~~~~~~\n"
                        "u.st:1:14: note: umlaut and ideograph\n"
                        "    1 | (* T\xc3\xbcr \xe9\x96\x80 *) gate;\n"
                        "      |              ^~~~\n"
                        "b.st:1:8: note: control character and stray byte\n"
                        "    1 | a?[1m? gate\n"
                        "      |        ^~~~\n");
}

static void ends_of_lines_and_texts(void **state)
{
    struct fixture *f = *state;
    struct span two = add(f, "a.st", "IF x\r\nTHEN\n", "x\r\nTHEN");
    struct span end = {two.file, 12, 12}, beyond = {two.file, 4, 5};

    diag_add(f->diags, DIAG_NOTE, two, NULL, "over two lines");
    diag_add(f->diags, DIAG_NOTE, beyond, NULL, "at the line end");
    diag_add(f->diags, DIAG_NOTE, end, NULL, "at the end");
    assert_string_equal(render(f), "a.st:1:4: note: over two lines\n"
                                   "    1 | IF x\n"
                                   "      |    ^\n"
                                   "a.st:1:5: note: at the line end\n"
                                   "    1 | IF x\n"
                                   "      |     ^\n"
                                   "a.st:3:1: note: at the end\n"
                                   "    3 | \n"
                                   "      | ^\n");
}

static void long_lines_are_cut_around_the_place(void **state)
{
    struct fixture *f = *state;
    struct text line = {0};

    text_pad(&line, 'a', 500);
    text_add(&line, "gate");
    text_pad(&line, 'b', 500);
    diag_add(f->diags, DIAG_NOTE, add(f, "a.st", text_str(&line), "gate"),
             NULL, "long");
    text_release(&line);
    text_add(&line, "a.st:1:501: note: long\n    1 | ...");
    text_pad(&line, 'a', 40);
    text_add(&line, "gate");
    text_pad(&line, 'b', 76);
    text_add(&line, "...\n      | ");
    text_pad(&line, ' ', 43);
    text_add(&line, "^~~~\n");
    assert_string_equal(render(f), text_str(&line));
    text_release(&line);
}

static void no_place_has_no_excerpt(void **state)
{
    struct fixture *f = *state;

    diag_add(f->diags, DIAG_ERROR, (struct span){0, 0, 0},
             "name a review text", "nothing to check");
    assert_string_equal(render(f), "error: nothing to check\n"
                                   "   what to do: name a review text\n");
}

static void comes_in_order_of_places(void **state)
{
    struct fixture *f = *state;
    struct span b = add(f, "a.st", "a b", "b"), a = {b.file, 0, 1};

    diag_add(f->diags, DIAG_NOTE, b, NULL, "third");
    diag_add(f->diags, DIAG_NOTE, a, NULL, "first");
    diag_add(f->diags, DIAG_NOTE, a, NULL, "second");
    assert_true(strstr(render(f), "first") < strstr(render(f), "second"));
    assert_true(strstr(render(f), "second") < strstr(render(f), "third"));
}

static void the_same_counts_once(void **state)
{
    struct fixture *f = *state;
    struct span span = add(f, "a.st", "a b", "b"), other = {1, 0, 1};

    diag_add(f->diags, DIAG_ERROR, span, "first advice", "odd");
    diag_add(f->diags, DIAG_ERROR, span, "other advice", "odd");
    diag_also(f->diags, other, "belongs to a record that was dropped");
    assert_int_equal(diags_count(f->diags), 1);
    assert_int_equal(diags_errors(f->diags), 1);
    assert_string_equal(diags_at(f->diags, 0)->hint, "first advice");
    assert_null(diags_at(f->diags, 0)->also_message);
    diag_add(f->diags, DIAG_ERROR, other, "advice", "odd");
    diag_add(f->diags, DIAG_ERROR, span, "advice", "strange");
    assert_int_equal(diags_errors(f->diags), 3);
}

static void an_error_is_not_hidden_by_a_warning(void **state)
{
    struct fixture *f = *state;
    struct span span = add(f, "a.st", "a b", "b");

    diag_add(f->diags, DIAG_WARNING, span, "advice", "odd");
    assert_int_equal(diags_errors(f->diags), 0);
    diag_add(f->diags, DIAG_ERROR, span, "advice", "odd");
    assert_int_equal(diags_errors(f->diags), 1);
}

static void keeps_fifty_errors_and_counts_the_rest(void **state)
{
    struct fixture *f = *state;
    struct span span = add(f, "a.st", "a b", "b");
    const char *out;

    for (int round = 0; round < 2; round++)
        for (int i = 0; i < 250; i++)
            diag_add(f->diags, DIAG_ERROR, span, "advice", "odd %d", i);
    diag_add(f->diags, DIAG_WARNING, span, "advice", "also odd");
    assert_int_equal(diags_count(f->diags), 51);
    assert_int_equal(diags_errors(f->diags), 250);
    out = render(f);
    assert_string_equal(strstr(out, "\n200 "),
                        "\n200 more errors are left out\n");
}

#define WITH_DIAGS(test)                                                   \
    cmocka_unit_test_setup_teardown(test, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_DIAGS(shows_place_line_and_advice),
        WITH_DIAGS(shows_the_second_place),
        WITH_DIAGS(underlines_what_is_seen),
        WITH_DIAGS(ends_of_lines_and_texts),
        WITH_DIAGS(long_lines_are_cut_around_the_place),
        WITH_DIAGS(no_place_has_no_excerpt),
        WITH_DIAGS(comes_in_order_of_places),
        WITH_DIAGS(the_same_counts_once),
        WITH_DIAGS(an_error_is_not_hidden_by_a_warning),
        WITH_DIAGS(keeps_fifty_errors_and_counts_the_rest),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
