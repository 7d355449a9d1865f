#include "logic/arith.h"

#include "base/ensure.h"
#include "logic/apply.h"
#include "logic/choose.h"
#include "logic/table.h"

static int64_t value(const struct flat_builder *table, flat_expr expr)
{
    return table->nodes[expr].value;
}

static flat_expr folded(struct flat_builder *table, enum flat_op op,
                        flat_expr a, flat_expr b)
{
    return table_const(table, flat_apply(op, value(table, a),
                                         value(table, b), 0));
}

/* A choice among two constants, which an operation with a third leaves one:
 * bits that are counted, mostly. */
static bool is_two_constants(const struct flat_builder *table,
                             flat_expr expr)
{
    const struct flat_node *node = &table->nodes[expr];

    return node->op == FLAT_ITE && table_is_const(table, node->b) &&
           table_is_const(table, node->c);
}

static bool commutes(enum flat_op op)
{
    return op == FLAT_ADD || op == FLAT_MUL || op == FLAT_MEET;
}

static flat_expr plain(struct flat_builder *table, enum flat_op op,
                       flat_expr a, flat_expr b)
{
    bool swap = commutes(op) &&
                (table_is_const(table, a) ||
                 (!table_is_const(table, b) && b < a));

    return swap ? table_make(table, op, b, a, FLAT_NONE)
                : table_make(table, op, a, b, FLAT_NONE);
}

/* Sums of constants join, also where they wrap. */
static flat_expr add(struct flat_builder *table, flat_expr a, flat_expr b)
{
    const struct flat_node node = table->nodes[a];

    if (!table_is_const(table, b))
        return plain(table, FLAT_ADD, a, b);
    if (node.op == FLAT_ADD && table_is_const(table, node.b)) {
        b = folded(table, FLAT_ADD, node.b, b);
        a = node.a;
    }
    return table_is(table, b, 0) ? a : plain(table, FLAT_ADD, a, b);
}

static flat_expr subtract(struct flat_builder *table, flat_expr a,
                          flat_expr b)
{
    if (a == b)
        return table_const(table, 0);
    if (table_is_const(table, b))
        return add(table, a, folded(table, FLAT_SUB, table_const(table, 0),
                                    b));
    return plain(table, FLAT_SUB, a, b);
}

static flat_expr multiply(struct flat_builder *table, flat_expr a,
                          flat_expr b)
{
    if (table_is(table, b, 0))
        return b;
    return table_is(table, b, 1) ? a : plain(table, FLAT_MUL, a, b);
}

static flat_expr divide(struct flat_builder *table, enum flat_op op,
                        flat_expr a, flat_expr b)
{
    struct range x = table_range(table, a), y = table_range(table, b);

    if (table_is(table, b, 0))
        return b;
    if (table_is(table, b, 1))
        return op == FLAT_DIV ? a : table_const(table, 0);
    if (x.low >= 0 && x.high < y.low)
        return op == FLAT_DIV ? table_const(table, 0) : a;
    return plain(table, op, a, b);
}

/* Is b a mask of lowest bits that cuts nothing off? */
static bool holds_all(const struct flat_builder *table, flat_expr a,
                      flat_expr b)
{
    struct range x = table_range(table, a);
    int64_t mask = value(table, b);

    return mask >= 0 && ((uint64_t)mask & ((uint64_t)mask + 1)) == 0 &&
           x.low >= 0 && x.high <= mask;
}

static flat_expr meet(struct flat_builder *table, flat_expr a, flat_expr b)
{
    const struct flat_node node = table->nodes[a];

    if (a == b)
        return a;
    if (!table_is_const(table, b))
        return plain(table, FLAT_MEET, a, b);
    if (table_is(table, b, 0))
        return b;
    if (node.op == FLAT_MEET && table_is_const(table, node.b)) {
        b = folded(table, FLAT_MEET, node.b, b);
        a = node.a;
    }
    return holds_all(table, a, b) ? a : plain(table, FLAT_MEET, a, b);
}

static flat_expr simplified(struct flat_builder *table, enum flat_op op,
                            flat_expr a, flat_expr b)
{
    bool swap = commutes(op) && table_is_const(table, a);
    flat_expr x = swap ? b : a, y = swap ? a : b;

    switch (op) {
    case FLAT_ADD:
        return add(table, x, y);
    case FLAT_SUB:
        return subtract(table, x, y);
    case FLAT_MUL:
        return multiply(table, x, y);
    case FLAT_MEET:
        return meet(table, x, y);
    default:
        ENSURE(op == FLAT_DIV || op == FLAT_MOD);
        return divide(table, op, x, y);
    }
}

flat_expr arith(struct flat_builder *table, enum flat_op op, flat_expr a,
                flat_expr b)
{
    const struct flat_node x = table->nodes[a], y = table->nodes[b];
    flat_expr result;

    if (x.op == FLAT_CONST && y.op == FLAT_CONST)
        return folded(table, op, a, b);
    if (y.op == FLAT_CONST && is_two_constants(table, a))
        return choose(table, x.a, folded(table, op, x.b, b),
                      folded(table, op, x.c, b));
    if (x.op == FLAT_CONST && is_two_constants(table, b))
        return choose(table, y.a, folded(table, op, a, y.b),
                      folded(table, op, a, y.c));
    result = simplified(table, op, a, b);
    if (table->nodes[result].low == table->nodes[result].high)
        return table_const(table, table->nodes[result].low);
    return result;
}
