#include "logic/relate.h"

#include "base/ensure.h"
#include "logic/table.h"

static flat_expr negation(struct flat_builder *table, flat_expr expr)
{
    return table_make(table, FLAT_NOT, expr, FLAT_NONE, FLAT_NONE);
}

/* x + c compares with k as x does with k - c, unless the sum wraps. */
static bool strip_addend(const struct flat_builder *table, flat_expr *x,
                         int64_t *k)
{
    const struct flat_node *node = &table->nodes[*x];
    const struct flat_node *term;
    int64_t c, low, high, rest;

    if (node->op != FLAT_ADD || !table_is_const(table, node->b))
        return false;
    term = &table->nodes[node->a];
    c = table->nodes[node->b].value;
    if (__builtin_add_overflow(term->low, c, &low) ||
        __builtin_add_overflow(term->high, c, &high) ||
        __builtin_sub_overflow(*k, c, &rest))
        return false;
    *x = node->a;
    *k = rest;
    return true;
}

static flat_expr eq_const(struct flat_builder *table, flat_expr x, int64_t k)
{
    struct range own;

    while (strip_addend(table, &x, &k))
        ;
    own = table_range(table, x);
    if (k < own.low || k > own.high)
        return table_const(table, 0);
    if (own.low == own.high)
        return table_const(table, 1);
    if (table_is_bool(table, x))
        return k ? x : relate_not(table, x);
    if (k == own.high && k - 1 == own.low)
        return negation(table, eq_const(table, x, own.low));
    return table_make(table, FLAT_EQ, x, table_const(table, k), FLAT_NONE);
}

/* x <= k */
static flat_expr le_const(struct flat_builder *table, flat_expr x, int64_t k)
{
    struct range own;

    while (strip_addend(table, &x, &k))
        ;
    own = table_range(table, x);
    if (k >= own.high)
        return table_const(table, 1);
    if (k < own.low)
        return table_const(table, 0);
    if (k == own.low)
        return eq_const(table, x, k);
    if (k == own.high - 1)
        return negation(table, eq_const(table, x, own.high));
    return table_make(table, FLAT_LE, x, table_const(table, k), FLAT_NONE);
}

/* k <= x */
static flat_expr ge_const(struct flat_builder *table, flat_expr x, int64_t k)
{
    struct range own;

    while (strip_addend(table, &x, &k))
        ;
    own = table_range(table, x);
    if (k <= own.low)
        return table_const(table, 1);
    if (k > own.high)
        return table_const(table, 0);
    if (k == own.high)
        return eq_const(table, x, k);
    if (k == own.low + 1)
        return relate_not(table, eq_const(table, x, own.low));
    return table_make(table, FLAT_LE, table_const(table, k), x, FLAT_NONE);
}

flat_expr relate_not(struct flat_builder *table, flat_expr expr)
{
    const struct flat_node node = table->nodes[expr];

    ENSURE(table_is_bool(table, expr));
    if (node.op == FLAT_CONST)
        return table_const(table, !node.value);
    if (node.op == FLAT_NOT)
        return node.a;
    if (node.op == FLAT_LE && table_is_const(table, node.b))
        return ge_const(table, node.a, table->nodes[node.b].value + 1);
    if (node.op == FLAT_LE && table_is_const(table, node.a))
        return le_const(table, node.b, table->nodes[node.a].value - 1);
    return negation(table, expr);
}

flat_expr relate_eq(struct flat_builder *table, flat_expr x, flat_expr y)
{
    struct range common;

    if (x == y)
        return table_const(table, 1);
    if (!range_meet(table_range(table, x), table_range(table, y), &common))
        return table_const(table, 0);
    if (table_is_const(table, y))
        return eq_const(table, x, table->nodes[y].value);
    if (table_is_const(table, x))
        return eq_const(table, y, table->nodes[x].value);
    return x < y ? table_make(table, FLAT_EQ, x, y, FLAT_NONE)
                 : table_make(table, FLAT_EQ, y, x, FLAT_NONE);
}

flat_expr relate_le(struct flat_builder *table, flat_expr x, flat_expr y)
{
    struct range a = table_range(table, x), b = table_range(table, y);

    if (x == y || a.high <= b.low)
        return table_const(table, 1);
    if (a.low > b.high)
        return table_const(table, 0);
    if (table_is_const(table, y))
        return le_const(table, x, table->nodes[y].value);
    if (table_is_const(table, x))
        return ge_const(table, y, table->nodes[x].value);
    return table_make(table, FLAT_LE, x, y, FLAT_NONE);
}
