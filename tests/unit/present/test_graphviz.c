#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <locale.h>
#include <string.h>

#include "base/text.h"
#include "base/utf8.h"
#include "present/graphviz.h"

/* A graph of one node with this label. */
static enum os_status draw_label(const char *label, size_t n,
                                 struct text *svg)
{
    struct text dot = {0};
    enum os_status status;

    text_add(&dot, "digraph g { n1 [id=\"n1\", label=\"");
    graphviz_quote(&dot, label, n);
    text_add(&dot, "\"] }");
    status = graphviz_svg(text_str(&dot), 20, svg);
    text_release(&dot);
    return status;
}

static void assert_utf8(const struct text *text)
{
    for (size_t i = 0; i < text->n;) {
        struct utf8_char c = utf8_next(text->at + i, text->n - i);

        assert_true(c.valid);
        assert_true(c.code >= 0x20 || c.code == '\n' || c.code == '\t');
        i += c.bytes;
    }
}

/* Tags are closed in the order in which they were opened; no sign of markup
 * stands free. */
static void assert_tags_fit(const struct text *svg)
{
    char open[64][16];
    int depth = 0;

    for (const char *at = strchr(svg->at, '<'); at; at = strchr(at, '<')) {
        size_t n = strcspn(++at, " \n/>");
        const char *end = strchr(at, '>');

        assert_non_null(end);
        if (*at == '?' || *at == '!')
            continue;
        if (*at == '/') {
            n = strcspn(++at, ">");
            assert_true(depth > 0);
            depth--;
            assert_int_equal(strlen(open[depth]), n);
            assert_memory_equal(open[depth], at, n);
        } else if (end[-1] != '/') {
            assert_true(n > 0 && n < sizeof open[0] && depth < 64);
            memcpy(open[depth], at, n);
            open[depth++][n] = '\0';
        }
    }
    assert_int_equal(depth, 0);
}

static void hostile_labels_stay_text(void **state)
{
    static const struct {
        const char *label;
        const char *shown; /* in the SVG */
    } cases[] = {
        {"gate \"A\"", ">gate &quot;A&quot;<"},
        {"ends in \\", ">ends in \\<"},
        {"back\\nslash \\N \\G", ">back\\nslash \\N \\G<"},
        {"<b>bold</b>", "&lt;b&gt;bold"},
        {"a & b &lt; &#65;", ">a &amp; b &amp;lt; &amp;#65;<"},
        {"\"]; n2 [label=\"x", ">&quot;]; n2 [label=&quot;x<"},
        {"--> <!-- x", "&gt; &lt;!"},
        {"</text></svg>", ">&lt;/text&gt;&lt;/svg&gt;<"},
        {"line\nend\ttab", ">line end tab<"},
        {"T\xc3\xbcr zu", ">T\xc3\xbcr zu<"},
        {"T\xfcr zu", ">T\xef\xbf\xbdr zu<"},
        {"cut \xe2\x82", ">cut \xef\xbf\xbd\xef\xbf\xbd<"},
        {"}", ">}<"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct text svg = {0};

        assert_int_equal(draw_label(cases[i].label, strlen(cases[i].label),
                                    &svg), OS_OK);
        assert_utf8(&svg);
        assert_tags_fit(&svg);
        if (strstr(svg.at, cases[i].shown) == NULL)
            fail_msg("%s not in %s", cases[i].shown, svg.at);
        assert_non_null(strstr(svg.at, "id=\"n1\""));
        assert_null(strstr(svg.at, "id=\"n2\""));
        text_release(&svg);
    }
}

static void a_nul_byte_ends_nothing(void **state)
{
    struct text svg = {0};

    (void)state;
    assert_int_equal(draw_label("a\0b", 3, &svg), OS_OK);
    assert_non_null(strstr(svg.at, ">a b<"));
    text_release(&svg);
}

static void names_of_the_library_stay_out(void **state)
{
    struct text svg = {0};

    (void)state;
    assert_int_equal(
        graphviz_svg("digraph g { a -> b [id=\"e1\"] }", 20, &svg), OS_OK);
    assert_null(strstr(svg.at, "<!--"));
    assert_null(strstr(svg.at, "<title>"));
    assert_null(strstr(svg.at, "ersion 2."));
    assert_non_null(strstr(svg.at, "id=\"e1\""));
    text_release(&svg);
}

static void same_bytes_twice_and_in_any_locale(void **state)
{
    static const char dot[] =
        "digraph g { a -> b [label=\"x\"]; b -> c; c -> a; a -> c }";
    struct text one = {0}, two = {0};

    (void)state;
    assert_int_equal(graphviz_svg(dot, 20, &one), OS_OK);
    setlocale(LC_ALL, "de_DE.UTF-8");
    assert_int_equal(graphviz_svg(dot, 20, &two), OS_OK);
    setlocale(LC_ALL, "C");
    assert_int_equal(one.n, two.n);
    assert_memory_equal(one.at, two.at, one.n);
    text_release(&one);
    text_release(&two);
}

static void what_is_not_dot_fails(void **state)
{
    struct text svg = {0};

    (void)state;
    text_add(&svg, "old");
    assert_int_equal(graphviz_svg("digraph g {", 20, &svg),
                     OS_CHILD_FAILED);
    assert_int_equal(svg.n, 0);
    assert_int_equal(graphviz_svg("", 20, &svg), OS_CHILD_FAILED);
    text_release(&svg);
}

/* 600 labelled edges among 200 nodes keep the library busy for minutes. */
static void a_slow_layout_is_ended(void **state)
{
    struct text dot = {0}, svg = {0};
    double begun = os_moment().seconds;

    (void)state;
    text_add(&dot, "digraph g {");
    for (unsigned i = 0; i < 600; i++)
        text_printf(&dot, "n%u -> n%u [label=\"way %u\"];", i % 200,
                    (i * 7919 + i / 200 * 31) % 200, i);
    text_add(&dot, "}");
    assert_int_equal(graphviz_svg(text_str(&dot), 0.3, &svg), OS_TIMED_OUT);
    assert_int_equal(svg.n, 0);
    assert_true(os_moment().seconds - begun < 10);
    text_release(&dot);
    text_release(&svg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hostile_labels_stay_text),
        cmocka_unit_test(a_nul_byte_ends_nothing),
        cmocka_unit_test(names_of_the_library_stay_out),
        cmocka_unit_test(same_bytes_twice_and_in_any_locale),
        cmocka_unit_test(what_is_not_dot_fails),
        cmocka_unit_test(a_slow_layout_is_ended),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
