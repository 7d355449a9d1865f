#include "logic/implied.h"

/* So much of a condition is looked at. */
enum { DEPTH_MOST = 24, LOOKS_MOST = 64 };

struct search {
    const struct implied *in;
    flat_expr base;      /* the value is base + offset */
    struct range limit;  /* of base */
    int looks;
};

/* Adds with the ends of int64 as infinities. */
static int64_t plus(int64_t a, int64_t b)
{
    int64_t sum;

    if (a == INT64_MAX || a == INT64_MIN)
        return a;
    if (__builtin_add_overflow(a, b, &sum))
        return b > 0 ? INT64_MAX : INT64_MIN;
    return sum;
}

/* expr is the result plus *offset. */
static flat_expr base_of(const struct implied *in, flat_expr expr,
                         int64_t *offset)
{
    const struct flat_node *node = &in->nodes[expr];
    const struct range all = in->range[expr];

    *offset = 0;
    if (all.low == INT64_MIN || all.high == INT64_MAX ||
        (node->op != FLAT_ADD && node->op != FLAT_SUB))
        return expr;
    if (in->nodes[node->b].op == FLAT_CONST &&
        in->nodes[node->b].value != INT64_MIN) {
        *offset = in->nodes[node->b].value;
        if (node->op == FLAT_SUB)
            *offset = -*offset;
        return node->a;
    }
    if (node->op == FLAT_ADD && in->nodes[node->a].op == FLAT_CONST) {
        *offset = in->nodes[node->a].value;
        return node->b;
    }
    return expr;
}

/* Is it the base, maybe with something added to it? */
static bool is_base(struct search *s, flat_expr expr, int64_t *offset)
{
    if (base_of(s->in, expr, offset) != s->base) {
        *offset = 0;
        return expr == s->base;
    }
    return *offset != INT64_MIN;
}

static void at_most(struct search *s, flat_expr expr, int64_t most)
{
    int64_t offset, high;

    if (!is_base(s, expr, &offset))
        return;
    high = plus(most, -offset);
    if (high < s->limit.high)
        s->limit.high = high;
}

static void at_least(struct search *s, flat_expr expr, int64_t least)
{
    int64_t offset, low;

    if (!is_base(s, expr, &offset))
        return;
    low = plus(least, -offset);
    if (low > s->limit.low)
        s->limit.low = low;
}

/* a <= b - gap */
static void ordered(struct search *s, flat_expr a, flat_expr b, int64_t gap)
{
    at_most(s, a, plus(s->in->range[b].high, -gap));
    at_least(s, b, plus(s->in->range[a].low, gap));
}

static void compare(struct search *s, const struct flat_node *node,
                    bool holds)
{
    if (node->op == FLAT_LT && holds)
        ordered(s, node->a, node->b, 1);
    else if (node->op == FLAT_LT)
        ordered(s, node->b, node->a, 0);
    else if (node->op == FLAT_LE && holds)
        ordered(s, node->a, node->b, 0);
    else if (node->op == FLAT_LE)
        ordered(s, node->b, node->a, 1);
    else if (node->op == FLAT_EQ && holds) {
        ordered(s, node->a, node->b, 0);
        ordered(s, node->b, node->a, 0);
    }
}

/* Depth is bounded. */
static void look(struct search *s, flat_expr condition, bool holds, int depth)
{
    const struct flat_node *node = &s->in->nodes[condition];

    if (depth > DEPTH_MOST || ++s->looks > LOOKS_MOST)
        return;
    if (node->op == FLAT_NOT) {
        look(s, node->a, !holds, depth + 1);
    } else if (node->op == (holds ? FLAT_AND : FLAT_OR)) {
        look(s, node->a, holds, depth + 1);
        look(s, node->b, holds, depth + 1);
    } else {
        compare(s, node, holds);
    }
}

struct range implied_range(const struct implied *implied,
                           flat_expr condition, bool holds, flat_expr value)
{
    struct search s = {.in = implied, .limit = {INT64_MIN, INT64_MAX}};
    int64_t offset;

    s.base = base_of(implied, value, &offset);
    look(&s, condition, holds, 0);
    return (struct range){plus(s.limit.low, offset),
                          plus(s.limit.high, offset)};
}
