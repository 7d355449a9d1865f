#include "lower/term.h"

flat_expr term_false(struct flat_builder *b)
{
    return flat_const(b, 0);
}

flat_expr term_true(struct flat_builder *b)
{
    return flat_const(b, 1);
}

bool term_is(const struct flat_builder *b, flat_expr x, int64_t value)
{
    const struct flat_node *node = flat_node(b, x);
    return node->op == FLAT_CONST && node->value == value;
}

flat_expr term_and(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_binary(b, FLAT_AND, x, y);
}

flat_expr term_or(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_binary(b, FLAT_OR, x, y);
}

flat_expr term_less(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_binary(b, FLAT_AND, x, flat_not(b, y));
}

flat_expr term_equals(struct flat_builder *b, flat_expr x, int64_t value)
{
    return flat_binary(b, FLAT_EQ, x, flat_const(b, value));
}

flat_expr term_at_least(struct flat_builder *b, flat_expr x, int64_t low)
{
    if (flat_node(b, x)->low >= low)
        return x;
    flat_expr least = flat_const(b, low);
    return flat_ite(b, flat_binary(b, FLAT_LT, x, least), least, x);
}

flat_expr term_at_most(struct flat_builder *b, flat_expr x, int64_t high)
{
    if (flat_node(b, x)->high <= high)
        return x;
    flat_expr most = flat_const(b, high);
    return flat_ite(b, flat_binary(b, FLAT_LT, most, x), most, x);
}

flat_expr term_smaller(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_ite(b, flat_binary(b, FLAT_LE, x, y), x, y);
}

flat_expr term_grown(struct flat_builder *b, flat_expr age, flat_expr elapsed,
                     int64_t cap)
{
    flat_expr below = flat_binary(b, FLAT_LT, age, flat_const(b, cap));
    flat_expr more = flat_binary(b, FLAT_ADD, age, elapsed);
    if (flat_node(b, elapsed)->op != FLAT_CONST)
        return term_smaller(b, more, flat_const(b, cap));
    return flat_ite(b, below, more, flat_const(b, cap));
}

flat_expr term_reached(struct flat_builder *b, flat_expr age, int64_t limit)
{
    return flat_binary(b, FLAT_LE, flat_const(b, limit), age);
}
