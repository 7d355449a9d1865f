/* Splitting an expression by a comparison changes what it reads, and never
 * what it means: compared on every value of small leaves. */
#include "logic/given.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"
#include "logic/build.h"

enum { CELLS = 3, MOST = 3, STEP = 2 };

/* `c[i]`, and what c[1] is after IF c[i] < 3 THEN c[i] := c[i] + 1. */
struct world {
    struct arena *arena;
    struct flat_builder *b;
    flat_expr index, cell[CELLS], at_index, is_one, after;
};

static void open_world(struct world *w)
{
    struct flat_builder *b;

    w->arena = arena_new();
    w->b = b = flat_builder_new(w->arena);
    w->index = flat_leaf(b, FLAT_CHOICE, 0, 0, CELLS - 1);
    for (uint32_t i = 0; i < CELLS; i++)
        w->cell[i] = flat_leaf(b, FLAT_CELL, i, 0, MOST);
    w->at_index = w->cell[CELLS - 1];
    for (uint32_t i = CELLS - 1; i-- > 0;)
        w->at_index = flat_ite(
            b, flat_binary(b, FLAT_EQ, w->index, flat_const(b, i)),
            w->cell[i], w->at_index);
    w->is_one = flat_binary(b, FLAT_EQ, w->index, flat_const(b, 1));
    w->after = flat_ite(
        b, w->is_one,
        flat_binary(b, FLAT_ADD, w->at_index, flat_const(b, 1)), w->cell[1]);
    w->after = flat_ite(
        b, flat_binary(b, FLAT_LT, w->at_index, flat_const(b, MOST)),
        w->after, w->cell[1]);
}

static void close_world(struct world *w)
{
    flat_builder_free(w->b);
    arena_free(w->arena);
}

/* The value of an expression; values: of the cells. */
static int64_t value_of(const struct world *w, flat_expr expr, int64_t index,
                        const int64_t *values)
{
    uint32_t n = expr + 1;
    int64_t *at = calloc(n, sizeof *at), result;

    for (uint32_t i = 0; i < n; i++) {
        const struct flat_node *node = flat_node(w->b, i);

        if (node->op == FLAT_CONST)
            at[i] = node->value;
        else if (node->op == FLAT_CELL)
            at[i] = values[node->a];
        else if (node->op == FLAT_CHOICE)
            at[i] = index;
        else
            at[i] = flat_apply(node->op, at[node->a],
                               node->b == FLAT_NONE ? 0 : at[node->b],
                               node->c == FLAT_NONE ? 0 : at[node->c]);
    }
    result = at[expr];
    free(at);
    return result;
}

static bool reads(const struct world *w, flat_expr expr, flat_expr leaf)
{
    const struct flat_node *node = flat_node(w->b, expr);

    if (expr == leaf)
        return true;
    if (node->op <= FLAT_HOLE)
        return false;
    return reads(w, node->a, leaf) ||
           (node->b != FLAT_NONE && reads(w, node->b, leaf)) ||
           (node->c != FLAT_NONE && reads(w, node->c, leaf));
}

static void same_everywhere(const struct world *w, flat_expr a, flat_expr b)
{
    for (int64_t code = 0; code < CELLS << (STEP * CELLS); code++) {
        int64_t values[CELLS], index = code >> (STEP * CELLS);

        for (int i = 0; i < CELLS; i++)
            values[i] = code >> (STEP * i) & MOST;
        assert_int_equal(value_of(w, a, index, values),
                         value_of(w, b, index, values));
    }
}

static void element_reads_itself_alone(void **state)
{
    struct world w;
    flat_expr made;

    (void)state;
    open_world(&w);
    made = given_split(w.b, w.after, w.is_one);
    assert_true(reads(&w, w.after, w.cell[0]));
    assert_true(reads(&w, w.after, w.cell[2]));
    assert_true(reads(&w, made, w.cell[1]));
    assert_false(reads(&w, made, w.cell[0]));
    assert_false(reads(&w, made, w.cell[2]));
    same_everywhere(&w, w.after, made);
    close_world(&w);
}

/* Nothing is gained, or there is nothing to split by. */
static void else_it_stays(void **state)
{
    struct world w;
    flat_expr less;

    (void)state;
    open_world(&w);
    less = flat_binary(w.b, FLAT_LT, w.index, flat_const(w.b, 2));
    assert_int_equal(given_split(w.b, w.at_index, w.is_one), w.at_index);
    assert_int_equal(given_split(w.b, w.after, less), w.after);
    assert_int_equal(given_split(w.b, w.after, w.index), w.after);
    close_world(&w);
}

static void inner_part_is_replaced(void **state)
{
    struct world w;
    flat_expr made;

    (void)state;
    open_world(&w);
    made = given_value(w.b, w.after, w.at_index, MOST);
    assert_int_equal(made, w.cell[1]);
    close_world(&w);
}

/* The index is not there any more: `i < 1` and `i < 2` say which it is. */
static void conditions_of_any_kind(void **state)
{
    struct world w;
    flat_expr first, second, one, at, after, made;

    (void)state;
    open_world(&w);
    first = flat_binary(w.b, FLAT_LT, w.index, flat_const(w.b, 1));
    second = flat_binary(w.b, FLAT_LT, w.index, flat_const(w.b, 2));
    at = flat_ite(w.b, first, w.cell[0],
                  flat_ite(w.b, second, w.cell[1], w.cell[2]));
    one = flat_binary(w.b, FLAT_AND, flat_not(w.b, first), second);
    after = flat_ite(
        w.b, flat_binary(w.b, FLAT_LT, at, flat_const(w.b, MOST)),
        flat_ite(w.b, one,
                 flat_binary(w.b, FLAT_ADD, at, flat_const(w.b, 1)),
                 w.cell[1]),
        w.cell[1]);
    made = given_condition(w.b, after, one);
    assert_true(reads(&w, after, w.cell[2]));
    assert_true(reads(&w, made, w.cell[1]));
    assert_false(reads(&w, made, w.cell[0]));
    assert_false(reads(&w, made, w.cell[2]));
    same_everywhere(&w, after, made);
    assert_int_equal(given_condition(w.b, at, one), at);
    assert_int_equal(given_condition(w.b, after, flat_const(w.b, 1)), after);
    close_world(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(element_reads_itself_alone),
        cmocka_unit_test(else_it_stays),
        cmocka_unit_test(inner_part_is_replaced),
        cmocka_unit_test(conditions_of_any_kind),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
