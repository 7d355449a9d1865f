/* Every simplification is compared with the plain meaning of the operators,
 * on every value of small leaves. */
#include "logic/build.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"

enum { LEAVES = 6, TERMS = 60, ROUNDS = 800 };

static const struct { int64_t low, high; } leaf_range[LEAVES] = {
    {0, 1}, {0, 1}, {0, 1}, {0, 3}, {-2, 2}, {0, 2}};

/* A term as it was asked for, and what the builder made of it. */
struct term {
    enum flat_op op;
    int a, b, c;
    int64_t value;
    bool boolean;
    flat_expr made;
};

struct world {
    struct arena *arena;
    struct flat_builder *builder;
    struct term term[TERMS];
    uint64_t seed;
};

static uint32_t any(struct world *w, uint32_t below)
{
    w->seed = w->seed * UINT64_C(6364136223846793005) + 1442695040888963407;
    return (uint32_t)(w->seed >> 33) % below;
}

static void begin(struct world *w, uint64_t seed)
{
    w->arena = arena_new();
    w->builder = flat_builder_new(w->arena);
    w->seed = seed;
}

static void end(struct world *w)
{
    flat_builder_free(w->builder);
    arena_free(w->arena);
}

static int pick(struct world *w, int n, bool boolean)
{
    for (;;) {
        int i = (int)any(w, (uint32_t)n);

        if (!boolean || w->term[i].boolean)
            return i;
    }
}

/* Often one of the values that the condition compares is chosen. */
static void make_smaller_or_larger(struct world *w, struct term *t, int n)
{
    const struct term *condition = &w->term[t->a];

    for (int tries = 0; tries < 8; tries++) {
        if (condition->op == FLAT_LE || condition->op == FLAT_LT) {
            t->b = any(w, 2) ? condition->a : condition->b;
            t->c = any(w, 2) ? condition->a : condition->b;
            return;
        }
        t->a = pick(w, n, true);
        condition = &w->term[t->a];
    }
}

static void make_operator(struct world *w, int n)
{
    struct term *t = &w->term[n];
    bool logic;

    t->op = FLAT_NOT + any(w, FLAT_ITE - FLAT_NOT + 1);
    if (any(w, 3) == 0)
        t->op = FLAT_ITE;
    logic = t->op <= FLAT_XOR;
    t->a = pick(w, n, logic || t->op == FLAT_ITE);
    t->b = pick(w, n, logic);
    t->c = pick(w, n, false);
    if (t->op == FLAT_ITE && any(w, 2))
        make_smaller_or_larger(w, t, n);
    t->boolean = t->op <= FLAT_LE;
    if (t->op == FLAT_NOT)
        t->made = flat_not(w->builder, w->term[t->a].made);
    else if (t->op == FLAT_ITE)
        t->made = flat_ite(w->builder, w->term[t->a].made,
                           w->term[t->b].made, w->term[t->c].made);
    else
        t->made = flat_binary(w->builder, t->op, w->term[t->a].made,
                              w->term[t->b].made);
    if (t->op == FLAT_ITE)
        t->boolean = w->term[t->b].boolean && w->term[t->c].boolean;
}

static void make_terms(struct world *w)
{
    for (int i = 0; i < LEAVES; i++) {
        w->term[i].op = FLAT_CELL;
        w->term[i].boolean = leaf_range[i].high == 1;
        w->term[i].made =
            flat_leaf(w->builder, FLAT_CELL, (uint32_t)i,
                      leaf_range[i].low, leaf_range[i].high);
    }
    for (int i = LEAVES; i < LEAVES + 6; i++) {
        w->term[i].op = FLAT_CONST;
        w->term[i].value = i - LEAVES - 2;
        w->term[i].boolean = w->term[i].value >= 0 && w->term[i].value <= 1;
        w->term[i].made = flat_const(w->builder, w->term[i].value);
    }
    for (int i = LEAVES + 6; i < TERMS; i++)
        make_operator(w, i);
}

static void plain_values(const struct world *w, const int64_t *leaf,
                         int64_t *value)
{
    for (int i = 0; i < TERMS; i++) {
        const struct term *t = &w->term[i];

        if (t->op == FLAT_CELL)
            value[i] = leaf[i];
        else if (t->op == FLAT_CONST)
            value[i] = t->value;
        else
            value[i] = flat_apply(t->op, value[t->a], value[t->b],
                                  value[t->c]);
    }
}

static void node_values(const struct flat_builder *builder,
                        const int64_t *leaf, int64_t *value)
{
    const struct flat_node *nodes = flat_nodes(builder);

    for (uint32_t i = 0; i < flat_builder_count(builder); i++) {
        const struct flat_node *n = &nodes[i];

        if (n->op == FLAT_CELL)
            value[i] = leaf[n->a];
        else if (n->op == FLAT_CONST)
            value[i] = n->value;
        else
            value[i] = flat_apply(
                n->op, value[n->a], n->b == FLAT_NONE ? 0 : value[n->b],
                n->c == FLAT_NONE ? 0 : value[n->c]);
        assert_in_range((uint64_t)value[i] - (uint64_t)n->low, 0,
                        (uint64_t)n->high - (uint64_t)n->low);
    }
}

/* The next combination of leaf values; false after the last. */
static bool step(int64_t *leaf)
{
    for (int i = 0; i < LEAVES; i++) {
        if (++leaf[i] <= leaf_range[i].high)
            return true;
        leaf[i] = leaf_range[i].low;
    }
    return false;
}

static void begin_leaves(int64_t *leaf)
{
    for (int i = 0; i < LEAVES; i++)
        leaf[i] = leaf_range[i].low;
}

static void compare_all(const struct world *w)
{
    int64_t leaf[LEAVES], plain[TERMS];
    int64_t *value = calloc(flat_builder_count(w->builder), sizeof *value);

    begin_leaves(leaf);
    do {
        plain_values(w, leaf, plain);
        node_values(w->builder, leaf, value);
        for (int i = 0; i < TERMS; i++)
            assert_int_equal(plain[i], value[w->term[i].made]);
    } while (step(leaf));
    free(value);
}

static void check_order(const struct flat_builder *builder)
{
    for (uint32_t i = 0; i < flat_builder_count(builder); i++) {
        const struct flat_node *n = flat_node(builder, i);

        assert_true(n->low <= n->high);
        if (n->op <= FLAT_HOLE)
            continue;
        assert_true(n->a < i);
        assert_true(n->b == FLAT_NONE || n->b < i);
        assert_true(n->c == FLAT_NONE || n->c < i);
    }
}

static void random_terms_keep_their_meaning(void **state)
{
    (void)state;
    for (uint64_t round = 0; round < ROUNDS; round++) {
        struct world w;

        begin(&w, round);
        make_terms(&w);
        check_order(w.builder);
        compare_all(&w);
        end(&w);
    }
}

static void replace_leaves(struct world *w, const int *by, flat_expr *root)
{
    uint32_t n = flat_builder_count(w->builder);
    flat_expr *replace = calloc(n, sizeof *replace);

    for (uint32_t i = 0; i < n; i++)
        replace[i] = FLAT_NONE;
    for (int i = 0; i < LEAVES; i++)
        replace[w->term[i].made] = w->term[by[i]].made;
    for (int i = 0; i < TERMS; i++)
        root[i] = w->term[i].made;
    flat_substitute(w->builder, replace, n, root, TERMS);
    free(replace);
}

/* Values of the substituted roots against values of the originals on the
 * values that the replacements have. */
static void compare_replaced(const struct world *w, const int *by,
                             const flat_expr *root)
{
    int64_t leaf[LEAVES], other[LEAVES], plain[TERMS];
    int64_t *value = calloc(flat_builder_count(w->builder), sizeof *value);

    begin_leaves(leaf);
    do {
        plain_values(w, leaf, plain);
        for (int i = 0; i < LEAVES; i++)
            other[i] = plain[by[i]];
        node_values(w->builder, leaf, value);
        plain_values(w, other, plain);
        for (int i = 0; i < TERMS; i++)
            assert_int_equal(plain[i], value[root[i]]);
    } while (step(leaf));
    free(value);
}

static bool fits(const struct world *w, int by, int leaf)
{
    const struct flat_node *n = flat_node(w->builder, w->term[by].made);

    return n->low >= leaf_range[leaf].low && n->high <= leaf_range[leaf].high;
}

static void substitution_is_evaluation_after_replacement(void **state)
{
    (void)state;
    for (uint64_t round = 0; round < ROUNDS / 4; round++) {
        struct world w;
        int by[LEAVES];
        flat_expr root[TERMS];

        begin(&w, round + 7777);
        make_terms(&w);
        for (int i = 0; i < LEAVES; i++) {
            by[i] = pick(&w, TERMS, false);
            if (!fits(&w, by[i], i))
                by[i] = i;
        }
        replace_leaves(&w, by, root);
        check_order(w.builder);
        compare_replaced(&w, by, root);
        end(&w);
    }
}

/* ---- single rules ---- */

struct leaves {
    flat_expr a, b, c; /* booleans */
    flat_expr x;       /* 0 .. 1000 */
    flat_expr s;       /* 0 .. 9 */
};

static struct leaves make_leaves(struct flat_builder *m)
{
    return (struct leaves){flat_leaf(m, FLAT_CELL, 0, 0, 1),
                           flat_leaf(m, FLAT_CELL, 1, 0, 1),
                           flat_leaf(m, FLAT_CHOICE, 0, 0, 1),
                           flat_leaf(m, FLAT_CELL, 2, 0, 1000),
                           flat_leaf(m, FLAT_CELL, 3, 0, 9)};
}

static flat_expr below(struct flat_builder *m, flat_expr x, int64_t k)
{
    return flat_binary(m, FLAT_LT, x, flat_const(m, k));
}

static flat_expr is(struct flat_builder *m, flat_expr x, int64_t k)
{
    return flat_binary(m, FLAT_EQ, x, flat_const(m, k));
}

static void logic_rules(void **state)
{
    struct world w;
    struct flat_builder *m;
    struct leaves l;
    flat_expr ab;

    (void)state;
    begin(&w, 0);
    m = w.builder;
    l = make_leaves(m);
    ab = flat_binary(m, FLAT_AND, l.a, l.b);
    assert_int_equal(ab, flat_binary(m, FLAT_AND, l.b, l.a));
    assert_int_equal(flat_binary(m, FLAT_OR, l.a, ab), l.a);
    assert_int_equal(flat_binary(m, FLAT_AND, ab, l.a), ab);
    assert_int_equal(flat_binary(m, FLAT_AND, ab, flat_not(m, l.b)),
                     flat_const(m, 0));
    assert_int_equal(flat_binary(m, FLAT_OR, l.a, flat_not(m, l.a)),
                     flat_const(m, 1));
    assert_int_equal(
        flat_binary(m, FLAT_AND, l.a,
                    flat_binary(m, FLAT_OR, flat_not(m, l.a), l.b)), ab);
    assert_int_equal(flat_binary(m, FLAT_XOR, flat_not(m, l.a), l.a),
                     flat_const(m, 1));
    assert_int_equal(flat_ite(m, l.a, flat_const(m, 1), flat_const(m, 0)),
                     l.a);
    assert_int_equal(flat_ite(m, l.a, l.b, flat_const(m, 0)), ab);
    assert_int_equal(flat_ite(m, l.c, flat_ite(m, l.c, l.x, l.s), l.s),
                     flat_ite(m, l.c, l.x, l.s));
    end(&w);
}

static void comparison_rules(void **state)
{
    struct world w;
    struct flat_builder *m;
    struct leaves l;
    flat_expr chain, late;

    (void)state;
    begin(&w, 0);
    m = w.builder;
    l = make_leaves(m);
    late = flat_binary(m, FLAT_LT, flat_const(m, 20), l.x);
    assert_int_equal(flat_binary(m, FLAT_AND, below(m, l.x, 10), late),
                     flat_const(m, 0));
    assert_int_equal(flat_binary(m, FLAT_OR, below(m, l.x, 30), late),
                     flat_const(m, 1));
    assert_int_equal(flat_binary(m, FLAT_AND, is(m, l.s, 3), is(m, l.s, 4)),
                     flat_const(m, 0));
    assert_int_equal(flat_not(m, below(m, l.x, 21)), late);
    assert_int_equal(below(m, l.x, 2000), flat_const(m, 1));
    chain = flat_ite(m, l.c, flat_const(m, 1), flat_const(m, 2));
    assert_int_equal(is(m, chain, 2), flat_not(m, l.c));
    chain = flat_ite(m, l.a, flat_const(m, 3), l.s);
    assert_int_equal(is(m, chain, 4),
                     flat_binary(m, FLAT_AND, flat_not(m, l.a),
                                 is(m, l.s, 4)));
    assert_int_equal(
        below(m, flat_binary(m, FLAT_ADD, l.x, flat_const(m, 100)), 500),
        below(m, l.x, 400));
    end(&w);
}

static void a_clock_that_saturates_stays_in_its_range(void **state)
{
    struct world w;
    struct flat_builder *m;
    struct leaves l;
    flat_expr grown, clock, top;

    (void)state;
    begin(&w, 0);
    m = w.builder;
    l = make_leaves(m);
    top = flat_const(m, 1000);
    grown = flat_binary(m, FLAT_ADD, l.x, flat_const(m, 100));
    clock = flat_ite(m, flat_binary(m, FLAT_LE, grown, top), grown, top);
    assert_int_equal(flat_node(m, clock)->low, 100);
    assert_int_equal(flat_node(m, clock)->high, 1000);
    end(&w);
}

static void arithmetic_wraps(void **state)
{
    struct world w;
    flat_expr huge, x, sum;

    (void)state;
    begin(&w, 0);
    huge = flat_const(w.builder, INT64_MAX);
    x = flat_leaf(w.builder, FLAT_CELL, 0, 0, 1);
    sum = flat_binary(w.builder, FLAT_ADD, huge, x);
    assert_int_equal(flat_node(w.builder, sum)->low, INT64_MIN);
    assert_int_equal(flat_node(w.builder, sum)->high, INT64_MAX);
    assert_true(flat_apply(FLAT_ADD, INT64_MAX, 1, 0) == INT64_MIN);
    assert_true(flat_apply(FLAT_DIV, INT64_MIN, -1, 0) == INT64_MIN);
    assert_int_equal(flat_apply(FLAT_MOD, INT64_MIN, -1, 0), 0);
    assert_int_equal(flat_apply(FLAT_DIV, 5, 0, 0), 0);
    assert_int_equal(flat_apply(FLAT_MOD, -7, 3, 0), -1);
    assert_int_equal(flat_apply(FLAT_DIV, -7, 3, 0), -2);
    end(&w);
}

/* A chain far beyond any depth of recursion that a stack would bear. */
static void long_chains_are_no_burden(void **state)
{
    struct world w;
    flat_expr chain;

    (void)state;
    begin(&w, 0);
    chain = flat_const(w.builder, 0);
    for (uint32_t i = 0; i < 100000; i++)
        chain = flat_ite(w.builder,
                         flat_leaf(w.builder, FLAT_CHOICE, i, 0, 1),
                         flat_const(w.builder, i % 7), chain);
    assert_int_equal(flat_node(w.builder, chain)->high, 6);
    assert_int_equal(is(w.builder, chain, 9), flat_const(w.builder, 0));
    assert_true(is(w.builder, chain, 3) != flat_const(w.builder, 0));
    end(&w);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_terms_keep_their_meaning),
        cmocka_unit_test(substitution_is_evaluation_after_replacement),
        cmocka_unit_test(logic_rules),
        cmocka_unit_test(comparison_rules),
        cmocka_unit_test(a_clock_that_saturates_stays_in_its_range),
        cmocka_unit_test(arithmetic_wraps),
        cmocka_unit_test(long_chains_are_no_burden),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
