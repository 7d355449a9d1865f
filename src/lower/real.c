#include "lower/real.h"

#include "base/ensure.h"
#include "check/rounded.h"
#include "lower/term.h"

static flat_expr is_number(struct flat_builder *b, flat_expr x)
{
    return flat_not(b, term_equals(b, x, TYPE_NAN));
}

/* Both lie in the same gap: an even value (TYPE_NAN is odd). */
static flat_expr in_one_gap(struct flat_builder *b, flat_expr left,
                            flat_expr right)
{
    flat_expr two = flat_const(b, 2);
    flat_expr even = term_equals(b, flat_binary(b, FLAT_MOD, left, two), 0);
    return term_and(b, flat_binary(b, FLAT_EQ, left, right), even);
}

/* left (FLAT_EQ, FLAT_LT or FLAT_LE) right, of numbers. */
static flat_expr numbers(struct flat_builder *b, enum flat_op op,
                         flat_expr left, flat_expr right, flat_expr order)
{
    flat_expr known = flat_binary(b, op, left, right);
    if (order == FLAT_NONE)
        return known;
    flat_expr open = flat_binary(b, op, order, flat_const(b, 0));
    return flat_ite(b, in_one_gap(b, left, right), open, known);
}

flat_expr real_compare(struct flat_builder *b, enum code_op op,
                       flat_expr left, flat_expr right, flat_expr order)
{
    flat_expr both = term_and(b, is_number(b, left), is_number(b, right));
    flat_expr zero = flat_const(b, 0);
    flat_expr back = order == FLAT_NONE
                         ? order : flat_binary(b, FLAT_SUB, zero, order);
    switch (op) {
    case CODE_EQ:
        return term_and(b, both, numbers(b, FLAT_EQ, left, right, order));
    case CODE_NE:
        return flat_not(b, term_and(b, both, numbers(b, FLAT_EQ, left, right,
                                                     order)));
    case CODE_LT:
        return term_and(b, both, numbers(b, FLAT_LT, left, right, order));
    case CODE_LE:
        return term_and(b, both, numbers(b, FLAT_LE, left, right, order));
    case CODE_GT:
        return term_and(b, both, numbers(b, FLAT_LT, right, left, back));
    default:
        ENSURE(op == CODE_GE);
        return term_and(b, both, numbers(b, FLAT_LE, right, left, back));
    }
}

flat_expr real_picked(struct flat_builder *b, flat_expr value,
                      const flat_expr *operand, uint32_t n, flat_expr pick)
{
    flat_expr all_numbers = term_true(b), picked = operand[n - 1];
    for (uint32_t i = 0; i < n; i++)
        all_numbers = term_and(b, all_numbers, is_number(b, operand[i]));
    for (uint32_t i = n - 1; i-- > 0;)
        picked = flat_ite(b, term_equals(b, pick, (int64_t)i - 1),
                          operand[i], picked);
    return flat_ite(b, all_numbers, value, picked);
}

static flat_expr within(struct flat_builder *b, struct rounded range,
                        flat_expr row)
{
    if (range.low == range.high)
        return flat_const(b, range.low);
    return term_at_most(b, term_at_least(b, row, range.low), range.high);
}

flat_expr real_rounded(struct flat_builder *b, const struct code_expr *expr,
                       uint32_t how, flat_expr real, flat_expr row)
{
    const struct type *type = type_base(expr->left->type);
    int64_t low = flat_node(b, real)->low, high = flat_node(b, real)->high;
    struct rounded above = rounded_of(type, high, how, expr->type);
    flat_expr all = within(b, above, row);
    for (int64_t value = high; value-- > low;) {
        struct rounded here = rounded_of(type, value, how, expr->type);
        if (here.low == above.low && here.high == above.high)
            continue;
        flat_expr up_to = flat_binary(b, FLAT_LE, real, flat_const(b, value));
        all = flat_ite(b, up_to, within(b, here, row), all);
        above = here;
    }
    return all;
}
