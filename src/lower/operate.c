#include "lower/operate.h"

#include "base/ensure.h"
#include "lower/term.h"

flat_expr operate_value(struct flat_builder *b, enum code_op op,
                      flat_expr left, flat_expr right)
{
    switch (op) {
    case CODE_NOT: return flat_not(b, left);
    case CODE_AND: return flat_binary(b, FLAT_AND, left, right);
    case CODE_OR: return flat_binary(b, FLAT_OR, left, right);
    case CODE_XOR: return flat_binary(b, FLAT_XOR, left, right);
    case CODE_EQ: return flat_binary(b, FLAT_EQ, left, right);
    case CODE_NE: return flat_not(b, flat_binary(b, FLAT_EQ, left, right));
    case CODE_LT: return flat_binary(b, FLAT_LT, left, right);
    case CODE_LE: return flat_binary(b, FLAT_LE, left, right);
    case CODE_GT: return flat_binary(b, FLAT_LT, right, left);
    case CODE_GE: return flat_binary(b, FLAT_LE, right, left);
    case CODE_NEGATE:
        return flat_binary(b, FLAT_SUB, flat_const(b, 0), left);
    case CODE_ADD: return flat_binary(b, FLAT_ADD, left, right);
    case CODE_SUB: return flat_binary(b, FLAT_SUB, left, right);
    case CODE_MUL: return flat_binary(b, FLAT_MUL, left, right);
    case CODE_DIV: return flat_binary(b, FLAT_DIV, left, right);
    case CODE_MOD: return flat_binary(b, FLAT_MOD, left, right);
    default: break;
    }
    ENSURE(!"an operator");
    return FLAT_NONE;
}

/* LWORDs lie in the order of their numbers once bit 63 is turned over. */
flat_expr operate_order(struct flat_builder *b, const struct type *type,
                        flat_expr value)
{
    flat_expr rest, below;

    if (!type_unsigned(type))
        return value;
    rest = flat_binary(b, FLAT_MEET, value, flat_const(b, INT64_MAX));
    below = flat_binary(b, FLAT_ADD, rest, flat_const(b, INT64_MIN));
    return flat_ite(b, flat_binary(b, FLAT_LT, value, flat_const(b, 0)),
                    rest, below);
}

flat_expr operate_outside(struct flat_builder *b, const struct type *type,
                        flat_expr value)
{
    flat_expr low = flat_const(b, type->low);
    flat_expr high = flat_const(b, type->high);
    return term_or(b, flat_binary(b, FLAT_LT, value, low),
                   flat_binary(b, FLAT_LT, high, value));
}

/* Can op be computed in int64 whatever the operands are? */
static bool fits(enum code_op op, const struct flat_node *x,
                 const struct flat_node *y)
{
    int64_t value;
    if (op == CODE_ADD)
        return !__builtin_add_overflow(x->low, y->low, &value) &&
               !__builtin_add_overflow(x->high, y->high, &value);
    if (op == CODE_SUB)
        return !__builtin_sub_overflow(x->low, y->high, &value) &&
               !__builtin_sub_overflow(x->high, y->low, &value);
    return !__builtin_mul_overflow(x->low, y->low, &value) &&
           !__builtin_mul_overflow(x->low, y->high, &value) &&
           !__builtin_mul_overflow(x->high, y->low, &value) &&
           !__builtin_mul_overflow(x->high, y->high, &value);
}

static flat_expr positive(struct flat_builder *b, flat_expr x)
{
    return flat_binary(b, FLAT_LT, flat_const(b, 0), x);
}

static flat_expr negative(struct flat_builder *b, flat_expr x)
{
    return flat_binary(b, FLAT_LT, x, flat_const(b, 0));
}

/* x + y (or x - y) beyond the type, without computing it: y > 0 and
 * x > high - y, or y < 0 and x < low - y.  Where y has the other sign the
 * difference may wrap, and does not count. */
static flat_expr wide_sum(struct flat_builder *b, const struct type *type,
                          enum flat_op back, flat_expr x, flat_expr y)
{
    bool add = back == FLAT_SUB;
    flat_expr up = add ? positive(b, y) : negative(b, y);
    flat_expr down = add ? negative(b, y) : positive(b, y);
    flat_expr most = flat_binary(b, back, flat_const(b, type->high), y);
    flat_expr least = flat_binary(b, back, flat_const(b, type->low), y);
    return term_or(b, term_and(b, up, flat_binary(b, FLAT_LT, most, x)),
                   term_and(b, down, flat_binary(b, FLAT_LT, x, least)));
}

/* divided / by compared with x: x > quotient, or x < quotient. */
static flat_expr past(struct flat_builder *b, flat_expr x, int64_t divided,
                      flat_expr by, bool above)
{
    flat_expr limit = flat_binary(b, FLAT_DIV, flat_const(b, divided), by);
    return above ? flat_binary(b, FLAT_LT, limit, x)
                 : flat_binary(b, FLAT_LT, x, limit);
}

/* x * y beyond the type, by signs; a truncated quotient is the right limit
 * in each of the four cases. */
static flat_expr wide_product(struct flat_builder *b,
                              const struct type *type, flat_expr x,
                              flat_expr y)
{
    flat_expr xp = positive(b, x), xn = negative(b, x);
    flat_expr yp = positive(b, y), yn = negative(b, y);
    flat_expr pp = term_and(b, term_and(b, xp, yp),
                            past(b, x, type->high, y, true));
    flat_expr nn = term_and(b, term_and(b, xn, yn),
                            past(b, x, type->high, y, false));
    flat_expr pn = term_and(b, term_and(b, xp, yn),
                            past(b, y, type->low, x, false));
    flat_expr np = term_and(b, term_and(b, xn, yp),
                            past(b, x, type->low, y, false));
    return term_or(b, term_or(b, pp, nn), term_or(b, pn, np));
}

static flat_expr sum_or_product(struct flat_builder *b,
                                const struct code_expr *expr, flat_expr x,
                                flat_expr y)
{
    struct flat_node left = *flat_node(b, x), right = *flat_node(b, y);
    if (fits(expr->op, &left, &right))
        return operate_outside(b, expr->type, operate_value(b, expr->op, x, y));
    if (expr->op == CODE_ADD)
        return wide_sum(b, expr->type, FLAT_SUB, x, y);
    if (expr->op == CODE_SUB)
        return wide_sum(b, expr->type, FLAT_ADD, x, y);
    return wide_product(b, expr->type, x, y);
}

/* A divisor of 0, or the one quotient that can leave the type. */
static flat_expr division(struct flat_builder *b,
                          const struct code_expr *expr, flat_expr x,
                          flat_expr y)
{
    flat_expr zero = term_equals(b, y, 0);
    if (expr->op == CODE_MOD || expr->type->low >= -expr->type->high)
        return zero;
    flat_expr low = term_equals(b, x, expr->type->low);
    return term_or(b, zero, term_and(b, low, term_equals(b, y, -1)));
}

flat_expr operate_error(struct flat_builder *b, const struct code_expr *expr,
                      flat_expr left, flat_expr right)
{
    switch (expr->op) {
    case CODE_NEGATE:
        return flat_node(b, left)->low == INT64_MIN
                   ? term_equals(b, left, INT64_MIN)
                   : operate_outside(b, expr->type,
                                   operate_value(b, CODE_NEGATE, left, left));
    case CODE_ADD:
    case CODE_SUB:
    case CODE_MUL:
        return sum_or_product(b, expr, left, right);
    case CODE_DIV:
    case CODE_MOD:
        return division(b, expr, left, right);
    default:
        return term_false(b);
    }
}
