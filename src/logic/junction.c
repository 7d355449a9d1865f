#include "logic/junction.h"

#include "base/ensure.h"
#include "logic/fact.h"
#include "logic/relate.h"
#include "logic/table.h"

enum { ROUNDS_MOST = 4 };

flat_expr junction_under(struct flat_builder *table,
                         const struct facts *facts, flat_expr expr)
{
    struct range range;
    int known;

    expr = facts_reduce(facts, table->nodes, expr);
    if (table_is_bool(table, expr)) {
        known = facts_decide(facts, table->nodes, expr);
        if (known >= 0)
            return table_const(table, known);
    }
    if (facts_range(facts, table->nodes, expr, &range) &&
        range.low == range.high)
        return table_const(table, range.low);
    return expr;
}

static flat_expr ordered(struct flat_builder *table, enum flat_op op,
                         flat_expr a, flat_expr b)
{
    return a < b ? table_make(table, op, a, b, FLAT_NONE)
                 : table_make(table, op, b, a, FLAT_NONE);
}

flat_expr junction(struct flat_builder *table, enum flat_op op, flat_expr a,
                   flat_expr b)
{
    bool neutral = op == FLAT_AND;
    flat_expr side[2] = {a, b};
    struct facts facts;
    bool changed = true;

    ENSURE(table_is_bool(table, a) && table_is_bool(table, b));
    for (int round = 0; changed && round < ROUNDS_MOST; round++) {
        changed = false;
        for (int i = 0; i < 2; i++) {
            flat_expr old = side[i];

            if (table_is_const(table, side[1 - i]))
                break;
            facts_from(&facts, table->nodes, side[1 - i], neutral);
            side[i] = junction_under(table, &facts, old);
            changed = changed || side[i] != old;
        }
    }
    for (int i = 0; i < 2; i++)
        if (table_is_const(table, side[i]))
            return table_is(table, side[i], neutral) ? side[1 - i] : side[i];
    return ordered(table, op, side[0], side[1]);
}

/* Negations stand outside. */
flat_expr junction_xor(struct flat_builder *table, flat_expr a, flat_expr b)
{
    flat_expr side[2] = {a, b};
    bool flip = false;
    flat_expr result;

    ENSURE(table_is_bool(table, a) && table_is_bool(table, b));
    for (int i = 0; i < 2; i++) {
        if (table->nodes[side[i]].op == FLAT_NOT ||
            table_is(table, side[i], 1)) {
            side[i] = relate_not(table, side[i]);
            flip = !flip;
        }
    }
    if (side[0] == side[1])
        return table_const(table, flip);
    if (relate_not(table, side[0]) == side[1])
        return table_const(table, !flip);
    if (table_is_const(table, side[0]))
        result = side[1];
    else if (table_is_const(table, side[1]))
        result = side[0];
    else
        result = ordered(table, FLAT_XOR, side[0], side[1]);
    return flip ? relate_not(table, result) : result;
}
