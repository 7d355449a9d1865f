/* Control text out of XML files: every place is a place in the file, and no
 * damaged file does harm. */
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
#include "lang/container.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/source.h"

static const char object[] =
    "<?xml version=\"1.0\" encoding=\"utf-8\"?>\r\n"
    "<Object>\r\n  <POU Name=\"Main\">\r\n"
    "    <Declaration><![CDATA[PROGRAM Main\r\nVAR\r\n  x : BOOL;\r\n"
    "  n : INT;\r\nEND_VAR\r\n]]></Declaration>\r\n"
    "    <Implementation>\r\n      <ST><![CDATA[x := n < 3;\r\n"
    "n := 5;]]></ST>\r\n    </Implementation>\r\n"
    "    <Method Name=\"Go\"><Implementation><ST>n := ((</ST>"
    "</Implementation></Method>\r\n"
    "  </POU>\r\n"
    "  <DUT><Declaration>TYPE Mode : (Off, On_); END_TYPE</Declaration></DUT>"
    "\r\n  <GVL><Declaration>VAR_GLOBAL g : INT; END_VAR</Declaration></GVL>"
    "\r\n  <POU Name=\"F\"><Declaration>FUNCTION F : BOOL VAR_INPUT a : INT; "
    "END_VAR</Declaration><Implementation><ST>F := a &lt;&gt; 3 AND a "
    "&gt;= 1 AND a &lt; 9;</ST></Implementation></POU>\r\n"
    "</Object>\r\n";

struct bench {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    struct tree_run run;
    bool fine;
};

static void read_text(struct bench *b, const char *text, size_t n)
{
    struct parse_context context;

    memset(b, 0, sizeof *b);
    b->arena = arena_new();
    b->names = names_new(b->arena);
    b->sources = sources_new(b->arena);
    b->diags = diags_new(b->arena);
    context = (struct parse_context){b->arena, b->names, b->sources,
                                     b->diags};
    b->fine = parse_text(&context, sources_add(b->sources, "t", text, n),
                         PARSE_CONTROL, &b->run);
}

static void done(struct bench *b)
{
    diags_free(b->diags);
    sources_free(b->sources);
    names_free(b->names);
    arena_free(b->arena);
}

static void stands_at(const struct bench *b, struct span span,
                      const char *word, uint32_t line)
{
    assert_memory_equal(object + span.from, word, strlen(word));
    assert_int_equal(sources_place(b->sources, span).line, line);
}

static void places_are_those_of_the_file(void **state)
{
    struct bench b;
    const struct tree_stmt *stmt;

    (void)state;
    read_text(&b, object, sizeof object - 1);
    assert_true(b.fine);
    assert_int_equal(b.run.pous.n, 2);
    stands_at(&b, b.run.pous.first->name->span, "Main", 4);
    stmt = b.run.pous.first->body.first;
    stands_at(&b, stmt->span, "x := n", 11);
    stands_at(&b, stmt->next->span, "n := 5", 12);
    assert_null(stmt->next->next);
    done(&b);
}

static void parts_of_all_kinds_are_read(void **state)
{
    struct bench b;
    const struct tree_pou *f;
    const struct tree_expr *value;

    (void)state;
    read_text(&b, object, sizeof object - 1);
    assert_int_equal(b.run.types.n, 1);
    assert_int_equal(b.run.globals.n, 1);
    f = b.run.pous.last;
    assert_null(f->part.unread.first);
    value = f->body.first->value; /* a <> 3 AND a >= 1 AND a < 9 */
    assert_int_equal(value->right->op, TREE_LT);
    assert_int_equal(value->left->right->op, TREE_GE);
    assert_int_equal(value->left->left->op, TREE_NE);
    done(&b);
}

static void a_method_belongs_to_its_block(void **state)
{
    struct bench b;
    const struct tree_unread *why;

    (void)state;
    read_text(&b, object, sizeof object - 1);
    why = b.run.pous.first->part.unread.first;
    assert_non_null(why);
    assert_string_equal(why->message,
                        "the Method 'Go' is not read in this version");
    assert_null(why->next);
    done(&b);
}

/* An Action is read where the body calls it; its statements have the places
 * that they have in the file. */
static void an_action_is_read_where_it_is_called(void **state)
{
    static const char acting[] =
        "<Object><POU Name=\"Main\"><Declaration>PROGRAM Main VAR n : INT; "
        "END_VAR</Declaration>\n<Implementation><ST>IF n = 0 THEN Go(); "
        "END_IF</ST></Implementation>\n<Action Name=\"Idle\"><Implementation>"
        "<ST>n := ((</ST></Implementation></Action>\n"
        "<Action Name=\"Go\">\n<Implementation>\n<ST>n := 5;</ST>\n"
        "</Implementation></Action></POU></Object>";
    struct bench b;
    const struct tree_stmt *stmt;

    (void)state;
    read_text(&b, acting, sizeof acting - 1);
    assert_true(b.fine);
    assert_null(b.run.pous.first->part.unread.first);
    stmt = b.run.pous.first->body.first;
    assert_null(stmt->next);
    stmt = stmt->branches.first->body.first;
    assert_int_equal(stmt->kind, TREE_ASSIGN);
    assert_int_equal(sources_place(b.sources, stmt->span).line, 6);
    assert_null(stmt->next);
    done(&b);
}

/* Without a place for its end. */
static void an_action_without_a_body(void **state)
{
    static const char empty[] =
        "<Object><POU Name=\"Main\"><Declaration>PROGRAM Main VAR n : INT; "
        "END_VAR</Declaration><Implementation><ST>n := 1;</ST>"
        "</Implementation><Action Name=\"Go\"><Implementation/></Action>"
        "</POU></Object>";
    struct bench b;

    (void)state;
    read_text(&b, empty, sizeof empty - 1);
    assert_non_null(b.run.pous.first->part.unread.first);
    done(&b);
}

/* As it is cut off at any byte, and with any byte changed. */
static void damaged_files_do_no_harm(void **state)
{
    static const char bytes[] = "<>&\"\0]\xff;[!/";
    char text[sizeof object];
    struct bench b;

    (void)state;
    for (size_t n = 0; n < sizeof object; n++) {
        read_text(&b, object, n);
        assert_true(b.fine == (n >= sizeof object - 3));
        done(&b);
        memcpy(text, object, sizeof object);
        text[n] = bytes[n % (sizeof bytes - 1)];
        read_text(&b, text, sizeof object - 1);
        done(&b);
    }
}

static void only_xml_is_taken_for_it(void **state)
{
    (void)state;
    assert_true(container_is(" \r\n<?xml ?>", 11));
    assert_true(container_is("<Object/>", 9));
    assert_false(container_is("< 3", 3));
    assert_false(container_is("<", 1));
    assert_false(container_is("", 0));
    assert_false(container_is("PROGRAM <a>", 11));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_are_those_of_the_file),
        cmocka_unit_test(parts_of_all_kinds_are_read),
        cmocka_unit_test(a_method_belongs_to_its_block),
        cmocka_unit_test(an_action_is_read_where_it_is_called),
        cmocka_unit_test(an_action_without_a_body),
        cmocka_unit_test(damaged_files_do_no_harm),
        cmocka_unit_test(only_xml_is_taken_for_it),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
