#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "lang/parse.h"
#include "lang/review.h"
#include "source/diag.h"
#include "source/render.h"
#include "source/source.h"

struct bench {
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    struct tree_run run;
    bool fine;
};

static struct bench *parse_bytes(enum parse_kind kind, const char *bytes,
                                 size_t n)
{
    struct bench *b = calloc(1, sizeof *b);
    struct parse_context context;

    assert_non_null(b);
    b->arena = arena_new();
    b->names = names_new(b->arena);
    b->sources = sources_new(b->arena);
    b->diags = diags_new(b->arena);
    context = (struct parse_context){b->arena, b->names, b->sources,
                                     b->diags};
    b->fine = parse_text(&context,
                         sources_add(b->sources, "t", bytes, n), kind,
                         &b->run);
    return b;
}

static void done(struct bench *b)
{
    diags_free(b->diags);
    sources_free(b->sources);
    names_free(b->names);
    arena_free(b->arena);
    free(b);
}

static struct bench *parse_fine(enum parse_kind kind, const char *text)
{
    struct bench *b = parse_bytes(kind, text, strlen(text));

    if (!b->fine) {
        struct text said = {0};

        render_diags(&said, b->sources, b->diags);
        fail_msg("%s", text_str(&said));
    }
    return b;
}

/* The expression of `x := ...;`. */
static const struct tree_expr *value_of(const struct bench *b)
{
    const struct tree_stmt *stmt = b->run.pous.first->body.first;

    assert_int_equal(stmt->kind, TREE_ASSIGN);
    return stmt->value;
}

static struct bench *parse_value(const char *expression)
{
    struct text text = {0};
    struct bench *b;

    text_printf(&text, "PROGRAM p x := %s; END_PROGRAM", expression);
    b = parse_fine(PARSE_CONTROL, text_str(&text));
    text_release(&text);
    return b;
}

static void check_number(const char *text, enum tree_expr_kind kind,
                         int64_t number)
{
    struct bench *b = parse_value(text);

    assert_int_equal(value_of(b)->kind, kind);
    assert_int_equal(value_of(b)->number, number);
    done(b);
}

static void numbers(void **state)
{
    (void)state;
    check_number("0", TREE_INTEGER, 0);
    check_number("1_000", TREE_INTEGER, 1000);
    check_number("16#Ff", TREE_INTEGER, 255);
    check_number("2#1010_1010", TREE_INTEGER, 170);
    check_number("8#17", TREE_INTEGER, 15);
    check_number("9223372036854775807", TREE_INTEGER, INT64_MAX);
    check_number("LINT#-9223372036854775808", TREE_INTEGER, INT64_MIN);
    check_number("INT#16#7F", TREE_INTEGER, 127);
    check_number("BOOL#1", TREE_BOOL, 1);
    check_number("bool#false", TREE_BOOL, 0);
    check_number("true", TREE_BOOL, 1);
}

static void times(void **state)
{
    (void)state;
    check_number("T#1h2m3s4ms", TREE_DURATION, 3723004);
    check_number("t#1.5s", TREE_DURATION, 1500);
    check_number("TIME#500ms", TREE_DURATION, 500);
    check_number("T#-5s", TREE_DURATION, -5000);
    check_number("T#25h_15m", TREE_DURATION, 90900000);
    check_number("T#1d", TREE_DURATION, 86400000);
    check_number("T#1000us", TREE_DURATION, 1);
    check_number("T#0.001s", TREE_DURATION, 1);
    check_number("time#1_000ms", TREE_DURATION, 1000);
    check_number("T#2m0.5s", TREE_DURATION, 120500);
}

/* Writes an expression with all its parentheses. */
static void spell(const struct tree_expr *e, struct text *out)
{
    static const char *const signs[] = {
        "NOT ", "-", "+", " OR ", " XOR ", " AND ", "=", "<>", "<", "<=",
        ">",    ">=", "+", "-",   "*",     "/",     " MOD ", "**"};

    if (e->kind == TREE_BINARY || e->kind == TREE_UNARY) {
        text_add(out, "(");
        if (e->kind == TREE_BINARY)
            spell(e->left, out);
        text_add(out, signs[e->op]);
        spell(e->kind == TREE_BINARY ? e->right : e->left, out);
        text_add(out, ")");
    } else if (e->kind == TREE_REF) {
        text_add(out, e->path->parts.first->name->spelling);
    } else {
        text_printf(out, "%d", (int)e->number);
    }
}

static void check_shape(const char *text, const char *shape)
{
    struct bench *b = parse_value(text);
    struct text spelled = {0};

    spell(value_of(b), &spelled);
    assert_string_equal(text_str(&spelled), shape);
    text_release(&spelled);
    done(b);
}

static void precedence(void **state)
{
    (void)state;
    check_shape("a OR b XOR c AND d", "(a OR (b XOR (c AND d)))");
    check_shape("a & b = c <> d", "(a AND ((b=c)<>d))");
    check_shape("a = b < c", "(a=(b<c))");
    check_shape("a < b + c * d", "(a<(b+(c*d)))");
    check_shape("a - b - c", "((a-b)-c)");
    check_shape("a / b MOD c", "((a/b) MOD c)");
    check_shape("NOT a AND -b > c", "((NOT a) AND ((-b)>c))");
    check_shape("NOT (a OR b)", "(NOT (a OR b))");
    check_shape("a + -1 - +2", "((a+(-1))-(+2))");
}

static void names_do_not_regard_case(void **state)
{
    struct bench *b = parse_fine(
        PARSE_CONTROL, "program P _gate := _GATE; end_program");
    const struct tree_stmt *stmt = b->run.pous.first->body.first;

    (void)state;
    assert_ptr_equal(stmt->target->parts.first->name,
                     stmt->value->path->parts.first->name);
    done(b);
}

static void declarations(void **state)
{
    struct bench *b = parse_fine(
        PARSE_CONTROL,
        "TYPE Mode : (Off, Auto) := Auto; Few : INT (0..9); END_TYPE\n"
        "VAR_GLOBAL CONSTANT k : INT := 3; END_VAR\n"
        "FUNCTION f : BOOL VAR_INPUT a : BOOL; END_VAR END_FUNCTION\n"
        "PROGRAM p VAR RETAIN a, b AT %IX0.3 : BOOL := TRUE; END_VAR\n"
        "END_PROGRAM");
    const struct tree_type *few = b->run.types.last->type;
    const struct tree_var_block *block = b->run.pous.last->blocks.first;

    (void)state;
    assert_int_equal(b->run.types.n, 2);
    assert_int_equal(b->run.types.first->type->items.n, 2);
    assert_int_equal(few->high->number, 9);
    assert_true(b->run.globals.first->constant);
    assert_int_equal(b->run.pous.first->kind, TREE_FUNCTION);
    assert_non_null(b->run.pous.first->result);
    assert_true(block->retain);
    assert_int_equal(block->vars.n, 2);
    assert_string_equal(block->vars.last->location, "%IX0.3");
    assert_ptr_equal(block->vars.first->type, block->vars.last->type);
    done(b);
}

static void statements(void **state)
{
    struct bench *b = parse_fine(
        PARSE_CONTROL,
        "PROGRAM p\r\n\tIF a THEN ; ELSIF b THEN x := 1; ELSE y := 2; "
        "END_IF\r\n"
        "CASE n OF 1, 3..5: x := 1; y := 2; Mode#Auto: ELSE z := 3; "
        "END_CASE;\n"
        "t(IN := a, 5, Q => b); END_PROGRAM");
    const struct tree_stmt *stmt = b->run.pous.first->body.first;
    const struct tree_branch *branch;

    (void)state;
    assert_int_equal(stmt->branches.n, 3);
    assert_null(stmt->branches.last->condition);
    stmt = stmt->next;
    while (stmt->kind == TREE_EMPTY)
        stmt = stmt->next;
    assert_int_equal(stmt->kind, TREE_CASE);
    branch = stmt->branches.first;
    assert_int_equal(branch->labels.n, 2);
    assert_int_equal(branch->labels.last->high->number, 5);
    assert_int_equal(branch->body.n, 2);
    assert_int_equal(branch->next->body.n, 0);
    assert_int_equal(stmt->branches.last->labels.n, 0);
    while (stmt->kind != TREE_INVOKE)
        stmt = stmt->next;
    assert_int_equal(stmt->args.n, 3);
    assert_null(stmt->args.first->next->name);
    assert_true(stmt->args.last->output);
    done(b);
}

static void our_words_are_free_in_control_text(void **state)
{
    struct bench *b = parse_fine(
        PARSE_CONTROL,
        "PROGRAM p VAR stop, never, read, review, power : BOOL; END_VAR\n"
        "stop := never AND read; review := power; END_PROGRAM");

    (void)state;
    assert_int_equal(b->run.pous.first->body.n, 2);
    done(b);
}

static struct bench *parse_section(const char *section)
{
    struct text text = {0};
    struct bench *b;

    text_printf(&text, "REVIEW r %s END_REVIEW", section);
    b = parse_fine(PARSE_REVIEW, text_str(&text));
    text_release(&text);
    return b;
}

static void forms(void **state)
{
    struct bench *b = parse_section(
        "REQUIREMENTS r1 : NEVER a DESPITE 2 OF F1, F3; r2 : ALWAYS a;"
        "r3 : a ONLY IF b; r4 : AFTER a, NO b UNTIL c;"
        "r5 : WHEN a THEN b WITHIN T#1s SAMPLED, UNLESS c;"
        "r6 : a NO LONGER THAN T#2s; r7 : a AT LEAST T#2s;"
        "r8 : gap MOVES ONLY WHILE c;"
        "r9 : NEVER y BY ITSELF, STARTED BY a, PRESSED b, IN CYCLE z,"
        " CANCELLED BY c, d; r10 : POSSIBLE a;"
        "r11 : ALWAYS POSSIBLE AGAIN a WHILE b BY c, Main.d DESPITE 1 FAULT;"
        "r12 : ALWAYS POSSIBLE AGAIN a; r13 : ALWAYS again;"
        "END_REQUIREMENTS");
    static const enum tree_form wanted[] = {
        TREE_NEVER, TREE_ALWAYS, TREE_ONLY_IF, TREE_AFTER_NO_UNTIL,
        TREE_WHEN_THEN_WITHIN, TREE_NO_LONGER, TREE_AT_LEAST,
        TREE_MOVES_ONLY_WHILE, TREE_BY_ITSELF, TREE_POSSIBLE,
        TREE_POSSIBLE_AGAIN, TREE_POSSIBLE_AGAIN, TREE_ALWAYS};
    const struct tree_requirement *r = b->run.review.requirements.first;
    int i = 0;

    (void)state;
    assert_int_equal(r->despite, 2);
    assert_int_equal(r->despite_of.n, 2);
    for (; r; r = r->next, i++) {
        assert_int_equal(r->form, wanted[i]);
        if (r->form == TREE_WHEN_THEN_WITHIN) {
            assert_int_equal(r->limit->number, 1000);
            assert_true(r->sampled);
            assert_non_null(r->c);
        }
        if (r->form == TREE_BY_ITSELF) {
            assert_int_equal(r->started_by.n, 2);
            assert_int_equal(r->cancelled_by.n, 2);
            assert_non_null(r->b);
        }
        if (r->form == TREE_POSSIBLE_AGAIN) {
            assert_int_equal(r->by.n, i == 10 ? 2 : 0);
            assert_int_equal(r->b != NULL, i == 10);
            assert_int_equal(r->despite, i == 10);
        }
    }
    assert_int_equal(i, 13);
    done(b);
}

static void faults_and_signals(void **state)
{
    struct bench *b = parse_section(
        "CONTROLS m : SELECTOR (Off, Auto) 'mode' AT 'panel' CONTACTS "
        "k CLOSING, l ON Auto; s : SENSOR ON WHEN gap = Open; END_CONTROLS "
        "FAULTS a : k DOES NOT OPEN; b : k DOES NOT CLOSE; c : v STAYS; "
        "d : k WIRE OFF; e : k SHORT TO SUPPLY; f : k SHORT TO l; "
        "g : IN MECHANISM; END_FAULTS");
    const struct tree_fault *fault = b->run.review.faults.first;
    static const enum tree_fault_kind kinds[] = {
        TREE_DOES_NOT_OPEN, TREE_DOES_NOT_CLOSE, TREE_STAYS, TREE_WIRE_OFF,
        TREE_SHORT_TO_SUPPLY, TREE_SHORT_TO, TREE_IN_MECHANISM};

    (void)state;
    for (int i = 0; i < 7; i++) {
        assert_int_equal(fault->kind, kinds[i]);
        fault = fault->next;
    }
    assert_null(fault);
    assert_null(b->run.review.faults.last->places.first);
    assert_int_equal(b->run.review.signals.first->positions.n, 2);
    assert_int_equal(b->run.review.signals.first->contacts.n, 2);
    assert_string_equal(b->run.review.signals.first->place.at, "panel");
    assert_non_null(b->run.review.signals.last->on_when);
    done(b);
}

static void bodies(void **state)
{
    struct bench *b = parse_section(
        "WIRING IN t1(IN := a, PT := T#1s); END_WIRING "
        "MECHANISM Gate VAR gap : (Shut, Open); END_VAR "
        "MOVES gap FROM Open TO Shut IN T#1s..T#5s WHILE v; "
        "MOVES gap FROM Shut TO Open; MAY gap := Shut; OR gap := Open; "
        "END_MAY; END_MECHANISM POWER STAYS BECAUSE 'it$'s so';");
    const struct tree_body *gate = b->run.review.bodies.last;

    (void)state;
    assert_int_equal(gate->movements.n, 2);
    assert_int_equal(gate->movements.first->upper->number, 5000);
    assert_null(gate->movements.last->lower);
    assert_int_equal(gate->body.first->kind, TREE_MAY);
    assert_int_equal(gate->body.first->branches.n, 2);
    assert_string_equal(b->run.review.power_reason.because.at, "it's so");
    done(b);
}

/* A mebibyte of noise gives few messages, and soon. */
static void noise(void **state)
{
    enum { SIZE = 1 << 20 };
    char *bytes = malloc(SIZE);
    uint64_t word = 88172645463325252u;
    struct bench *b;

    (void)state;
    assert_non_null(bytes);
    for (int printable = 0; printable < 2; printable++) {
        for (size_t i = 0; i < SIZE; i++) {
            word ^= word << 13, word ^= word >> 7, word ^= word << 17;
            bytes[i] = (char)(printable ? ' ' + (word >> 32) % 95
                                        : word >> 32);
        }
        b = parse_bytes(PARSE_CONTROL, bytes, SIZE);
        assert_false(b->fine);
        assert_in_range(diags_count(b->diags), 1, 50);
        done(b);
    }
    free(bytes);
}

static void same_byte_for_long(void **state)
{
    static const char kinds[] = "(;+a1'%.\"{[*#@=:<\n\\";
    enum { SIZE = 1 << 18 };
    char *bytes = malloc(SIZE);

    (void)state;
    assert_non_null(bytes);
    for (size_t i = 0; i < sizeof kinds; i++) {
        struct bench *b;

        memset(bytes, kinds[i], SIZE);
        b = parse_bytes(PARSE_CONTROL, bytes, SIZE);
        assert_false(b->fine);
        assert_in_range(diags_count(b->diags), 1, 50);
        done(b);
    }
    free(bytes);
}

/* Every beginning of a text is read without harm, and refused unless only
 * blanks are missing. */
static void cut_anywhere(void **state)
{
    static const char text[] =
        "REVIEW r 'x' CONTROLS a : BUTTON 'b'; END_CONTROLS MECHANISM g "
        "VAR v : (A, B); END_VAR MOVES v FROM A TO B IN T#1s .. WHILE a; "
        "IF a THEN MAY v := A; OR v := B; END_MAY; END_IF; END_MECHANISM "
        "REQUIREMENTS R1 : WHEN a THEN NOT (a) WITHIN T#2s; "
        "END_REQUIREMENTS END_REVIEW";

    (void)state;
    for (size_t n = 0; n < sizeof text; n++) {
        struct bench *b = parse_bytes(PARSE_REVIEW, text, n);

        assert_int_equal(b->fine, n == sizeof text - 1);
        done(b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers),
        cmocka_unit_test(times),
        cmocka_unit_test(precedence),
        cmocka_unit_test(names_do_not_regard_case),
        cmocka_unit_test(declarations),
        cmocka_unit_test(statements),
        cmocka_unit_test(our_words_are_free_in_control_text),
        cmocka_unit_test(forms),
        cmocka_unit_test(faults_and_signals),
        cmocka_unit_test(bodies),
        cmocka_unit_test(noise),
        cmocka_unit_test(same_byte_for_long),
        cmocka_unit_test(cut_anywhere),
    };

    return cmocka_run_group_tests_name("parse", tests, NULL, NULL);
}
