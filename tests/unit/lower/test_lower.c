/* What the flat logic as a whole holds: order of errors, watches, cells with
 * their ranges, assumptions. */
#include "lower/lower.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "source/diag.h"
#include "tests/support/checked.h"
#include "tests/support/text_model.h"

static void start(struct text_model *text, const char *control,
                  const char *review)
{
    text_model_init(text, control, review, false);
    assert_non_null(text->run);
}

static const struct flat_cell *cell(const struct text_model *text,
                                    const char *path)
{
    return text_model_cell(text, PLACE_SLOT, text_model_slot(text, path));
}

/* A function that fails twice: what happened between its calls is the
 * first error of the scan. */
static const char failing[] =
    "FUNCTION Share : INT VAR_INPUT part : INT; END_VAR\n"
    "Share := 10 / part; END_FUNCTION\n"
    "PROGRAM Main\n"
    "VAR_INPUT a, b, c : INT (0 .. 3); END_VAR\n"
    "VAR x : INT; y : INT; END_VAR\n"
    "x := Share(a); y := 10 / b; x := Share(c);\n"
    "END_PROGRAM\n";

static uint32_t first_error(struct text_model *text, uint32_t a, uint32_t b,
                            uint32_t c)
{
    flat_run_restart(text->run);
    text_model_give(text, "Main.a", a);
    text_model_give(text, "Main.b", b);
    text_model_give(text, "Main.c", c);
    flat_run_scan(text->run, false);
    uint32_t watch = flat_run_error(text->run);
    return watch == FLAT_NONE ? FLAT_NONE
                              : text->lowered->flat->watches[watch].index;
}

static void errors_in_order(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, failing, NULL);
    uint32_t part = first_error(&t, 0, 1, 1), own = first_error(&t, 1, 0, 1);
    assert_int_not_equal(part, own);
    assert_int_equal(first_error(&t, 1, 1, 0), part);
    assert_int_equal(first_error(&t, 1, 0, 0), own);
    assert_int_equal(first_error(&t, 0, 0, 0), part);
    assert_int_equal(first_error(&t, 2, 2, 2), FLAT_NONE);
    text_model_release(&t);
}

/* Under a condition that is not taken nothing happens; every side of an
 * operator is computed. */
static void errors_on_their_path(void **state)
{
    struct text_model t;
    (void)state;
    start(&t,
          "PROGRAM Main\n"
          "VAR_INPUT a, b, c : INT (0 .. 3); END_VAR VAR x : BOOL; END_VAR\n"
          "IF a = 1 THEN x := b > 0 AND 6 / b > 2; END_IF;\n"
          "END_PROGRAM\n", NULL);
    assert_int_equal(first_error(&t, 0, 0, 0), FLAT_NONE);
    assert_int_not_equal(first_error(&t, 1, 0, 0), FLAT_NONE);
    assert_int_equal(first_error(&t, 1, 1, 0), FLAT_NONE);
    text_model_release(&t);
}

static void impossible_error(void **state)
{
    struct text_model t;
    (void)state;
    start(&t,
          "PROGRAM Main VAR_INPUT a : INT (1 .. 3); END_VAR\n"
          "VAR x : INT; k : INT := 2; END_VAR\n"
          "x := 6 / a; IF k > 2 THEN x := 1 / x; END_IF;\n"
          "END_PROGRAM\n", NULL);
    for (uint32_t i = 0; i < t.model->n_errors; i++)
        assert_int_equal(t.lowered->error[i], FLAT_NONE);
    text_model_release(&t);
}

static bool taken(const struct text_model *text, uint32_t branch)
{
    const struct flat *flat = text->lowered->flat;
    const struct flat_watch *watch =
        &flat->watches[text->lowered->branch[branch]];
    assert_int_equal(watch->kind, WATCH_BRANCH);
    assert_int_equal(watch->index, branch);
    return text->run->node[watch->condition];
}

static void branches(void **state)
{
    struct text_model t;
    (void)state;
    start(&t,
          "PROGRAM Main VAR_INPUT a : INT (0 .. 3); END_VAR\n"
          "VAR x : INT; END_VAR\n"
          "IF a = 1 THEN x := 1; ELSIF a >= 1 THEN x := 2; ELSE x := 3; "
          "END_IF;\n"
          "END_PROGRAM\n", NULL);
    assert_int_equal(t.model->n_branches, 3);
    for (uint32_t a = 0; a < 4; a++) {
        text_model_give(&t, "Main.a", a);
        text_model_scan(&t);
        assert_int_equal(taken(&t, 0), a == 1);
        assert_int_equal(taken(&t, 1), a > 1);
        assert_int_equal(taken(&t, 2), a == 0);
    }
    text_model_release(&t);
}

/* What a variable can hold is found, whatever its type. */
static void ranges(void **state)
{
    struct text_model t;
    (void)state;
    start(&t,
          "PROGRAM Main VAR_INPUT p, q : BOOL; END_VAR\n"
          "VAR step : INT; count : INT; fix : INT := 7; same : INT := 7; "
          "END_VAR\n"
          "CASE step OF 0: IF p THEN step := 10; END_IF;\n"
          "10: IF q THEN step := 20; END_IF; 20: step := 0; END_CASE;\n"
          "IF p THEN count := count + 1; same := fix; ELSE fix := same; "
          "END_IF;\n"
          "END_PROGRAM\n", NULL);
    assert_non_null(cell(&t, "Main.step"));
    assert_int_equal(cell(&t, "Main.step")->low, 0);
    assert_int_equal(cell(&t, "Main.step")->high, 20);
    assert_int_equal(cell(&t, "Main.step")->unit, 10);
    assert_int_equal(cell(&t, "Main.count")->high, 32767);
    assert_null(cell(&t, "Main.fix"));
    assert_null(cell(&t, "Main.same"));
    text_model_release(&t);
}

static const char gate[] =
    "REVIEW Gate SCAN T#100ms;\n"
    "CONTROLS p : BUTTON; q : BUTTON; y : VALVE; z : LAMP; END_CONTROLS\n"
    "MECHANISM M VAR gap : (Shut, Wide); END_VAR\n"
    "MOVES gap FROM Wide TO Shut WHILE y; END_MECHANISM\n"
    "FAULTS Stuck : p STAYS; Loose : IN MECHANISM; END_FAULTS\n"
    "ASSUMPTIONS\n"
    "  A : NOT (p AND PRESSED q); B : gap = Wide OR p; C : p OR PREVIOUS q;\n"
    "  D : p OR NOT Loose;\n"
    "END_ASSUMPTIONS\n"
    "REQUIREMENTS\n"
    "  R : NEVER y AND gap = Shut DESPITE 1 FAULT; S : y ONLY IF p;\n"
    "END_REQUIREMENTS END_REVIEW\n";

static const char follow[] =
    "PROGRAM Main VAR_INPUT p, q : BOOL; END_VAR\n"
    "VAR_OUTPUT y, z : BOOL; END_VAR\n"
    "y := p; z := q; END_PROGRAM\n";

/* Only those that speak of nothing but inputs of this scan are told apart:
 * they need one satisfying value. */
static void assumptions(void **state)
{
    static const bool inputs_only[] = {true, false, false, false};
    struct text_model t;
    (void)state;
    start(&t, follow, gate);
    assert_int_equal(t.lowered->flat->n_assumptions, 4);
    for (uint32_t i = 0; i < 4; i++)
        assert_int_equal(t.lowered->flat->assumptions[i].current_inputs_only,
                         inputs_only[i]);
    text_model_release(&t);
}

static void tables(void **state)
{
    struct text_model t;
    (void)state;
    start(&t, follow, gate);
    const struct flat *flat = t.lowered->flat;
    assert_int_equal(flat->n_choices, t.model->n_choices);
    assert_int_equal(flat->n_faults, 2);
    for (uint32_t i = 0; i < 2; i++) {
        const struct flat_cell *place = &flat->cells[flat->causes[i].cell];
        assert_int_equal(place->kind, PLACE_FAULT);
        assert_int_equal(place->index, i);
        assert_int_equal(flat->faults[i].choice, FLAT_NONE);
        assert_int_equal(flat->choices[flat->causes[i].choice].cause, i);
        assert_int_equal(flat->choices[flat->causes[i].choice].kind,
                         FLAT_FAULT);
    }
    assert_int_equal(flat->n_motions, 1);
    assert_int_equal(flat->choices[flat->motions[0].choice].kind,
                     FLAT_MACHINE);
    for (uint32_t i = 0; i < t.model->n_requirements; i++) {
        uint32_t trigger = t.lowered->trigger[i];
        assert_int_equal(flat->watches[t.lowered->breach[i]].index, i);
        for (uint32_t k = 0; k < t.model->requirements[i].n_triggers; k++) {
            assert_int_equal(flat->watches[trigger + k].kind, WATCH_TRIGGER);
            assert_int_equal(flat->watches[trigger + k].part, k);
        }
    }
    text_model_release(&t);
}

static void same_again(void **state)
{
    struct text_model one, other;
    (void)state;
    start(&one, follow, gate);
    start(&other, follow, gate);
    const struct flat *a = one.lowered->flat, *b = other.lowered->flat;
    assert_int_equal(a->n_nodes, b->n_nodes);
    for (uint32_t i = 0; i < a->n_nodes; i++) {
        assert_int_equal(a->nodes[i].op, b->nodes[i].op);
        assert_int_equal(a->nodes[i].a, b->nodes[i].a);
        assert_int_equal(a->nodes[i].value, b->nodes[i].value);
    }
    text_model_release(&one);
    text_model_release(&other);
}

static void preset_without_bound(void **state)
{
    struct text_model t;
    (void)state;
    text_model_init(&t,
                    "PROGRAM Main VAR_INPUT p : BOOL; END_VAR\n"
                    "VAR t : TON; more : TIME; END_VAR\n"
                    "more := more + T#1s; t(IN := p, PT := more);\n"
                    "END_PROGRAM\n", NULL, true);
    assert_non_null(t.model);
    assert_null(t.lowered);
    assert_int_equal(diags_errors(t.diags), 1);
    assert_string_equal(diags_at(t.diags, 0)->message,
                        "the time of timer \"Main.t\" has no largest value");
    text_model_release(&t);
}

/* A value wanders through a long row, one place in each scan: what the places
 * can hold is not found place by place. */
static void a_long_row(void **state)
{
    struct lowered *lowered;
    struct checked it;

    (void)state;
    checked_init(&it,
                 "PROGRAM Main VAR_INPUT b : BOOL; END_VAR\n"
                 "VAR a : ARRAY [0..399] OF BOOL; i : INT; q : BOOL; END_VAR\n"
                 "FOR i := 399 TO 1 BY -1 DO a[i] := a[i - 1]; END_FOR;\n"
                 "a[0] := b; q := a[399]; END_PROGRAM\n", NULL);
    assert_non_null(it.model);
    lowered = lower_model(it.arena, it.model, it.diags);
    assert_non_null(lowered);
    assert_true(lowered->flat->n_cells >= 400);
    lowered_free(lowered);
    checked_release(&it);
}

/* ---- left early ---- */

static const char many_steps[] =
    "PROGRAM Main VAR_INPUT k : INT (0 .. 299); b : BOOL; END_VAR\n"
    "VAR a, c : ARRAY [0..299] OF INT (0 .. 9); i, j : INT; "
    "END_VAR\n"
    "FOR j := 0 TO 9 DO FOR i := 0 TO 299 DO IF a[k] = i MOD 10 THEN c[i] := a[(i + j + c[0]) MOD 300]; "
    "a[k] := c[k]; END_IF; END_FOR; END_FOR;\nEND_PROGRAM\n";

static uint32_t asked_so_far;

static bool at_the_hundredth(void)
{
    return ++asked_so_far >= 100;
}

static void a_signal_ends_it(void **state)
{
    const struct lower_limits limits = {at_the_hundredth, 0};
    bool stopped = false;
    struct checked it;

    (void)state;
    asked_so_far = 0;
    checked_init(&it, many_steps, NULL);
    assert_non_null(it.model);
    assert_null(lower_within(it.arena, it.model, &limits, it.diags,
                             &stopped));
    assert_true(stopped);
    assert_int_equal(asked_so_far, 100);
    assert_int_equal(diags_errors(it.diags), 0);
    checked_release(&it);
}

/* 4 MiB are free: a text of usual size takes less, this one more. */
static void memory_ends_it(void **state)
{
    const struct lower_limits limits = {NULL, 1};
    bool stopped = false;
    struct lowered *lowered;
    struct checked it;

    (void)state;
    checked_init(&it, many_steps, NULL);
    assert_null(lower_within(it.arena, it.model, &limits, it.diags,
                             &stopped));
    assert_true(stopped);
    checked_release(&it);
    checked_init(&it, "PROGRAM Main VAR a : INT; END_VAR a := 3; END_PROGRAM",
                 NULL);
    lowered = lower_within(it.arena, it.model, &limits, it.diags, &stopped);
    assert_non_null(lowered);
    assert_false(stopped);
    lowered_free(lowered);
    checked_release(&it);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(errors_in_order),
        cmocka_unit_test(errors_on_their_path),
        cmocka_unit_test(impossible_error),
        cmocka_unit_test(branches),
        cmocka_unit_test(ranges),
        cmocka_unit_test(assumptions),
        cmocka_unit_test(tables),
        cmocka_unit_test(same_again),
        cmocka_unit_test(preset_without_bound),
        cmocka_unit_test(a_long_row),
        cmocka_unit_test(a_signal_ends_it),
        cmocka_unit_test(memory_ends_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
