/* Spellings that control text is found in: read, counted, and laid out
 * without a loss. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "lang/format.h"
#include "lang/parse.h"
#include "lang/parts.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"

struct bench {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    struct parse_context context;
    struct tree_run run;
    uint32_t file;
};

static void open_bench(struct bench *b, const char *text,
                       enum tree_spelling spelling)
{
    memset(b, 0, sizeof *b);
    b->arena = arena_new();
    b->names = names_new(b->arena);
    b->sources = sources_new(b->arena);
    b->diags = diags_new(b->arena);
    b->context = (struct parse_context){b->arena, b->names, b->sources,
                                        b->diags};
    b->run.spelling = spelling;
    b->file = sources_add(b->sources, "t", text, strlen(text));
    parse_text(&b->context, b->file, PARSE_CONTROL, &b->run);
    parts_report_all(&b->run, b->diags);
}

static void close_bench(struct bench *b)
{
    diags_free(b->diags);
    sources_free(b->sources);
    names_free(b->names);
    arena_free(b->arena);
}

static void is_silent(const char *text)
{
    struct bench b;
    struct text said = {0};

    open_bench(&b, text, TREE_ANY_SPELLING);
    render_diags(&said, b.sources, b.diags);
    if (said.n)
        fail_msg("%s\nsays: %s", text, text_str(&said));
    text_release(&said);
    close_bench(&b);
}

static int64_t milliseconds(const char *literal)
{
    char text[200];
    struct bench b;
    int64_t number;

    snprintf(text, sizeof text, "PROGRAM p VAR t : TIME; END_VAR t := %s; "
                                "END_PROGRAM", literal);
    open_bench(&b, text, TREE_ANY_SPELLING);
    assert_int_equal(diags_count(b.diags), 0);
    number = b.run.pous.first->body.first->value->number;
    close_bench(&b);
    return number;
}

/* IEC 61131-3, 2013 edition, table 8 and 6.3.4 (from memory): any unit may
 * be left out, the first may overflow, the last may have a fraction. */
static void times_in_all_spellings(void **state)
{
    (void)state;
    assert_int_equal(milliseconds("T#14ms"), 14);
    assert_int_equal(milliseconds("T#-14ms"), -14);
    assert_int_equal(milliseconds("TIME#-5ms"), -5);
    assert_int_equal(milliseconds("T#14.7s"), 14700);
    assert_int_equal(milliseconds("T#14.7m"), 882000);
    assert_int_equal(milliseconds("t#1d_2h"), 93600000);
    assert_int_equal(milliseconds("T#25h15m"), 90900000);
    assert_int_equal(milliseconds("t#5d_14h_12m_18s_3ms"), 483138003);
    assert_int_equal(milliseconds("T#1h2m3.5s"), 3723500);
    assert_int_equal(milliseconds("T#90m"), 5400000);
    assert_int_equal(milliseconds("TIME#25h_15m"), 90900000);
    assert_int_equal(milliseconds("T#5000MS"), 5000);
    assert_int_equal(milliseconds("T#1_000ms"), 1000);
}

#define IN(words) "PROGRAM p VAR x, y : BOOL; n : INT; t : TON; END_VAR "     \
                  words " END_PROGRAM"

static void spellings_of_exports(void **state)
{
    static const char *const texts[] = {
        IN("IF x THEN y := x; END_IF"),
        IN("IF x THEN y := x; ELSEIF y THEN END_IF IF y THEN END_IF"),
        IN("CASE n OF 1: x := y; END_CASE x := y;;"),
        IN("t; t(); t(IN := x,\r\n PT := T#1s); t;"),
        IN("iF X tHen Y := x; eNd_If;"),
        IN("x := y; // (* no comment\n(* // *) y := x; /* (* */"),
        IN("(* a (* b *) c *) x := y;"),
        "\xef\xbb\xbfPROGRAM p\r\nEND_PROGRAM\r\n",
        "#import \"a\"\r\n  #import \"b\"\r\nPROGRAM p END_PROGRAM",
        "FUNCTIONBLOCK a END_FUNCTIONBLOCK",
        "functionblock internal a end_functionblock",
        "FUNCTION_BLOCK PUBLIC FINAL a END_FUNCTION_BLOCK",
        "FUNCTION PRIVATE f : BOOL f := TRUE; END_FUNCTION",
        "VAR_GLOBAL RETAIN PERSISTENT a : INT; END_VAR",
        "VAR_GLOBAL PERSISTENT a : INT; END_VAR",
        "(* @PATH := '\\/a' *)\n(* @OBJECTFLAGS := '0, 8' *)\n"
        "VAR_GLOBAL a : INT; END_VAR",
        "(* @NESTEDCOMMENTS := 'No' *)\n(* (* *) VAR_GLOBAL a : INT; END_VAR",
        "(* @NESTEDCOMMENTS := 'Yes' *)\n(* (* *) *) "
        "VAR_GLOBAL a : INT; END_VAR",
        "{attribute 'a' := 'b'}\nVAR_GLOBAL {region} a : INT; END_VAR",
    };

    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        is_silent(texts[i]);
}

static void places_in_the_controller(void **state)
{
    static const char *const places[] = {
        "%I*", "%Q*", "%M*", "%IX*", "%QW*", "%i*", "%IX1.2.3", "%QW4",
        "%MD8", "%IB7", "%I0.3", "%ix0.0", "%ML1", "%QX10.7", "%I3"};
    char text[200];

    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        snprintf(text, sizeof text, "PROGRAM p VAR a AT %s : BOOL; END_VAR "
                                    "END_PROGRAM", places[i]);
        is_silent(text);
    }
}

/* Words of review texts, of types and blocks, and of other sections. */
static void words_as_names(void **state)
{
    static const char *const words[] = {
        "step", "S", "R", "len", "DT", "TP", "internal", "access", "public",
        "action", "method", "class", "transition", "union", "property",
        "interface", "extends", "abstract", "var_access2", "namespace",
        "task", "with", "resource", "configuration", "persistent", "review",
        "only", "never", "always", "button", "in", "out", "on", "when",
        "control", "scan", "power", "fault", "no", "moves", "after", "hold",
        "type", "by", "to", "do", "of", "at", "exit", "return", "constant",
        "retain", "non_retain", "array", "struct", "function", "program"};
    char text[400];

    (void)state;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        snprintf(text, sizeof text,
                 "PROGRAM p VAR x : BOOL; %s : BOOL; END_VAR x := %s; "
                 "%s := NOT %s AND x; IF %s THEN x := (%s); END_IF "
                 "END_PROGRAM", words[i], words[i], words[i], words[i],
                 words[i], words[i]);
        is_silent(text);
    }
}

static void each_kind_is_told_once_with_its_number(void **state)
{
    struct bench b;

    (void)state;
    open_bench(&b, IN("IF x THEN END_IF IF x THEN END_IF IF y THEN END_IF "
                      "// a\n"), TREE_TELL_SPELLING);
    assert_int_equal(diags_count(b.diags), 2);
    assert_int_equal(diags_errors(b.diags), 0);
    assert_string_equal(diags_at(b.diags, 0)->message,
                        "there is no ';' behind this END_ word (and 2 more "
                        "in this text)");
    close_bench(&b);
    open_bench(&b, IN("IF x THEN END_IF // a\n"), TREE_STRICT);
    assert_int_equal(diags_errors(b.diags), 2);
    close_bench(&b);
}

/* format keeps what is skipped. */
static void layouts_keep_everything(void **state)
{
    static const char text[] =
        "(* @NESTEDCOMMENTS := 'No' *)\n"
        "#import \"x.st\"\n"
        "{attribute 'a'}\n"
        "FUNCTIONBLOCK INTERNAL Gate\n"
        "END_FUNCTIONBLOCK\n"
        "PROGRAM Main\n"
        "  VAR gate : Gate; x : BOOL; END_VAR\n"
        "  gate; (* a (* b *)\n"
        "  IF x THEN x := FALSE; ELSEIF x THEN gate; END_IF /* (* */\n"
        "END_PROGRAM\n";
    struct bench b;
    struct text out = {0};

    (void)state;
    open_bench(&b, text, TREE_ANY_SPELLING);
    assert_true(format_text(&b.context, b.file, PARSE_CONTROL, &out));
    assert_string_equal(text_str(&out), text);
    text_release(&out);
    close_bench(&b);
}

/* A text cut off at any byte, or with a word taken out, is read to its end
 * without harm, and a mistake is told. */
static void damaged_texts_do_no_harm(void **state)
{
    static const char whole[] =
        "FUNCTION_BLOCK A EXTENDS B IMPLEMENTS C, D METHOD m END_METHOD "
        "VAR type : UNION a : INT; END_UNION; END_VAR x; END_FUNCTION_BLOCK "
        "CLASS E END_CLASS NAMESPACE F.G USING H, I.J; END_NAMESPACE {IF a} "
        "PROGRAM P VAR x : INT; END_VAR Q(); #x += W#16#F; Q; ACTION Q : "
        "Q(1); F.x := 2; RETURN; (* (* ' *) *) END_ACTION END_PROGRAM "
        "FUNCTION \"B\" : VOID\nVERSION : 0.1\nBEGIN REGION r\n"
        "END_REGION END_FUNCTION DATA_BLOCK \"D\" END_DATA_BLOCK "
        "CONFIGURATION G VAR_ACCESS h END_VAR RESOURCE I ON J TASK k (SINGLE "
        ":= 1); PROGRAM l WITH k : A (m := 1); END_RESOURCE "
        "END_CONFIGURATION TYPE n : UNION END_UNION; END_TYPE";
    char text[sizeof whole];
    struct bench b;

    (void)state;
    for (size_t n = 0; n < sizeof whole; n++) {
        snprintf(text, sizeof text, "%.*s", (int)n, whole);
        open_bench(&b, text, TREE_TELL_SPELLING);
        assert_true(diags_count(b.diags) > 0);
        close_bench(&b);
        memcpy(text, whole, sizeof whole);
        memset(text + n, ' ', n + 9 < sizeof whole ? 8 : 0);
        open_bench(&b, text, TREE_TELL_SPELLING);
        assert_true(diags_count(b.diags) > 0);
        close_bench(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_in_all_spellings),
        cmocka_unit_test(spellings_of_exports),
        cmocka_unit_test(places_in_the_controller),
        cmocka_unit_test(words_as_names),
        cmocka_unit_test(each_kind_is_told_once_with_its_number),
        cmocka_unit_test(layouts_keep_everything),
        cmocka_unit_test(damaged_texts_do_no_harm),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
