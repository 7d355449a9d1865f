#include "logic/compare.h"

#include <stdlib.h>

#include "base/ensure.h"
#include "logic/choose.h"
#include "logic/junction.h"
#include "logic/relate.h"
#include "logic/table.h"

/* So many branchings are looked into when a value is compared with a
 * constant. */
enum { BRANCHINGS_MOST = 256 };

/* A comparison whose one side is a constant. */
struct against {
    bool equal;    /* FLAT_EQ, else FLAT_LE */
    bool constant_first;
    flat_expr constant;
};

static flat_expr relate(struct flat_builder *table,
                        const struct against *against, flat_expr x)
{
    if (against->equal)
        return relate_eq(table, x, against->constant);
    return against->constant_first
               ? relate_le(table, against->constant, x)
               : relate_le(table, x, against->constant);
}

/* The branchings under a value, in ascending order. */
struct branchings {
    flat_expr at[BRANCHINGS_MOST];
    uint32_t n;
};

static int by_number(const void *a, const void *b)
{
    flat_expr left = *(const flat_expr *)a, right = *(const flat_expr *)b;

    return (left > right) - (left < right);
}

static bool meet(struct flat_builder *table, flat_expr expr)
{
    if (table->met.at[expr] == table->walk)
        return false;
    table->met.at[expr] = table->walk;
    return true;
}

/* Lists the branchings; false when there are too many, or when more than
 * one value at their ends is not decided by the comparison: then writing
 * the comparison into the branches would only repeat it. */
static bool list_branchings(struct flat_builder *table,
                            const struct against *against, flat_expr root,
                            struct branchings *list)
{
    flat_expr todo[2 * BRANCHINGS_MOST + 1];
    uint32_t n = 0, open = 0;

    todo[n++] = root;
    while (n) {
        flat_expr expr = todo[--n];

        if (!meet(table, expr))
            continue;
        if (table->nodes[expr].op == FLAT_ITE) {
            if (list->n == BRANCHINGS_MOST)
                return false;
            list->at[list->n++] = expr;
            todo[n++] = table->nodes[expr].b;
            todo[n++] = table->nodes[expr].c;
            continue;
        }
        table->image.at[expr] = relate(table, against, expr);
        if (!table_is_const(table, table->image.at[expr]) && ++open > 1)
            return false;
    }
    qsort(list->at, list->n, sizeof *list->at, by_number);
    return true;
}

static flat_expr against_constant(struct flat_builder *table,
                                  const struct against *against, flat_expr x)
{
    struct branchings list = {.n = 0};

    if (table->nodes[x].op != FLAT_ITE)
        return relate(table, against, x);
    table_walk(table);
    if (!list_branchings(table, against, x, &list))
        return relate(table, against, x);
    for (uint32_t i = 0; i < list.n; i++) {
        const struct flat_node node = table->nodes[list.at[i]];

        table->image.at[list.at[i]] =
            choose(table, node.a, table->image.at[node.b],
                   table->image.at[node.c]);
    }
    return table->image.at[x];
}

static flat_expr of_booleans(struct flat_builder *table, bool equal,
                             flat_expr a, flat_expr b)
{
    if (equal)
        return relate_not(table, junction_xor(table, a, b));
    return junction(table, FLAT_OR, relate_not(table, a), b);
}

static flat_expr weak(struct flat_builder *table, bool equal, flat_expr a,
                      flat_expr b)
{
    struct against against = {equal, table_is_const(table, a), a};

    if (table_is_bool(table, a) && table_is_bool(table, b))
        return of_booleans(table, equal, a, b);
    if (against.constant_first)
        return against_constant(table, &against, b);
    if (!table_is_const(table, b))
        return equal ? relate_eq(table, a, b) : relate_le(table, a, b);
    against.constant = b;
    return against_constant(table, &against, a);
}

flat_expr compare(struct flat_builder *table, enum flat_op op, flat_expr a,
                  flat_expr b)
{
    if (op == FLAT_LT)
        return relate_not(table, weak(table, false, b, a));
    ENSURE(op == FLAT_EQ || op == FLAT_LE);
    return weak(table, op == FLAT_EQ, a, b);
}
