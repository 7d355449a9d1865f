#include "logic/choose.h"

#include "base/ensure.h"
#include "logic/fact.h"
#include "logic/junction.h"
#include "logic/relate.h"
#include "logic/table.h"

enum { ROUNDS_MOST = 16 };

/* An ITE on its way. */
struct choice {
    flat_expr condition, yes, no;
};

static flat_expr both(struct flat_builder *table, flat_expr a, flat_expr b)
{
    return junction(table, FLAT_AND, a, b);
}

static flat_expr either(struct flat_builder *table, flat_expr a, flat_expr b)
{
    return junction(table, FLAT_OR, a, b);
}

static void swap(struct flat_builder *table, struct choice *it)
{
    flat_expr yes = it->yes;

    it->condition = relate_not(table, it->condition);
    it->yes = it->no;
    it->no = yes;
}

/* Branches in the light of the condition. */
static void settle_branches(struct flat_builder *table, struct choice *it)
{
    struct facts facts;

    facts_from(&facts, table->nodes, it->condition, true);
    it->yes = junction_under(table, &facts, it->yes);
    facts_from(&facts, table->nodes, it->condition, false);
    it->no = junction_under(table, &facts, it->no);
}

/* c ? (d ? x : y) : y is (c AND d) ? x : y, and so on for the other
 * places in which a branch comes again. */
static bool merge_yes(struct flat_builder *table, struct choice *it)
{
    const struct flat_node inner = table->nodes[it->yes];

    if (inner.op != FLAT_ITE)
        return false;
    if (inner.c == it->no) {
        it->condition = both(table, it->condition, inner.a);
        it->yes = inner.b;
        return true;
    }
    if (inner.b == it->no) {
        it->condition = both(table, it->condition,
                             relate_not(table, inner.a));
        it->yes = inner.c;
        return true;
    }
    return false;
}

static bool merge_no(struct flat_builder *table, struct choice *it)
{
    const struct flat_node inner = table->nodes[it->no];

    if (inner.op != FLAT_ITE)
        return false;
    if (inner.b == it->yes) {
        it->condition = either(table, it->condition, inner.a);
        it->no = inner.c;
        return true;
    }
    if (inner.c == it->yes) {
        it->condition = either(table, it->condition,
                               relate_not(table, inner.a));
        it->no = inner.b;
        return true;
    }
    return false;
}

/* Booleans with a constant branch need no ITE; FLAT_NONE otherwise. */
static flat_expr as_logic(struct flat_builder *table,
                          const struct choice *it)
{
    flat_expr c = it->condition;

    if (!table_is_bool(table, it->yes) || !table_is_bool(table, it->no))
        return FLAT_NONE;
    if (table_is(table, it->yes, 1))
        return either(table, c, it->no);
    if (table_is(table, it->yes, 0))
        return both(table, relate_not(table, c), it->no);
    if (table_is(table, it->no, 0))
        return both(table, c, it->yes);
    if (table_is(table, it->no, 1))
        return either(table, relate_not(table, c), it->yes);
    if (relate_not(table, it->yes) == it->no)
        return relate_not(table, junction_xor(table, c, it->yes));
    return FLAT_NONE;
}

/* In a smaller or a larger of two values, each bounds the other. */
static void bound_by_other(const struct flat_builder *table,
                           const struct choice *it, struct range *yes,
                           struct range *no)
{
    const struct flat_node *node = &table->nodes[it->condition];
    struct range x, y;

    if (node->op != FLAT_LE)
        return;
    x = table_range(table, node->a);
    y = table_range(table, node->b);
    if (it->yes == node->a)
        range_meet(*yes, (struct range){INT64_MIN, y.high}, yes);
    if (it->yes == node->b)
        range_meet(*yes, (struct range){x.low, INT64_MAX}, yes);
    if (it->no == node->a)
        range_meet(*no, (struct range){y.low, INT64_MAX}, no);
    if (it->no == node->b)
        range_meet(*no, (struct range){INT64_MIN, x.high}, no);
}

/* Which side is impossible under the condition, if one is; else the node
 * with a range as narrow as the condition makes it. */
static flat_expr finish(struct flat_builder *table, const struct choice *it)
{
    struct facts facts;
    struct range yes, no;
    struct flat_node node = {FLAT_ITE, it->condition, it->yes, it->no,
                             0, 0, 0};

    facts_from(&facts, table->nodes, it->condition, true);
    if (!facts_range(&facts, table->nodes, it->yes, &yes))
        return it->no;
    facts_from(&facts, table->nodes, it->condition, false);
    if (!facts_range(&facts, table->nodes, it->no, &no))
        return it->yes;
    bound_by_other(table, it, &yes, &no);
    yes = range_join(yes, no);
    node.low = yes.low;
    node.high = yes.high;
    return table_intern(table, &node);
}

flat_expr choose(struct flat_builder *table, flat_expr condition,
                 flat_expr yes, flat_expr no)
{
    struct choice it = {condition, yes, no};
    flat_expr logic;

    ENSURE(table_is_bool(table, condition));
    for (int round = 0; round < ROUNDS_MOST; round++) {
        if (table->nodes[it.condition].op == FLAT_NOT)
            swap(table, &it);
        if (table_is_const(table, it.condition))
            return table_is(table, it.condition, 1) ? it.yes : it.no;
        settle_branches(table, &it);
        if (it.yes == it.no)
            return it.yes;
        if (!merge_yes(table, &it) && !merge_no(table, &it))
            break;
    }
    if (table_is_const(table, it.condition))
        return table_is(table, it.condition, 1) ? it.yes : it.no;
    if (it.yes == it.no)
        return it.yes;
    logic = as_logic(table, &it);
    return logic != FLAT_NONE ? logic : finish(table, &it);
}
