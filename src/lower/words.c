/* All of it comes down to FLAT_MEET: NOT x = mask - x, and x OR y =
 * NOT (NOT x AND NOT y), so that ranges stay within the mask. */
#include "lower/words.h"

#include "base/ensure.h"
#include "lower/operate.h"
#include "lower/term.h"

bool words_are(enum code_op op)
{
    return op >= CODE_BIT && op <= CODE_CONVERT;
}

/* ---- bits ---- */

/* The lowest n bits; all that a value can have from 63 on. */
static int64_t mask_of(unsigned n)
{
    return n >= 63 ? INT64_MAX : (INT64_C(1) << n) - 1;
}

static flat_expr meet(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_binary(b, FLAT_MEET, x, y);
}

static flat_expr lowest(struct flat_builder *b, flat_expr x, unsigned n)
{
    return meet(b, x, flat_const(b, mask_of(n)));
}

static flat_expr without(struct flat_builder *b, int64_t mask, flat_expr x)
{
    return flat_binary(b, FLAT_SUB, flat_const(b, mask), x);
}

/* The lowest bits that hold all values of both. */
static int64_t mask_over(const struct flat_builder *b, flat_expr x,
                         flat_expr y)
{
    int64_t high = flat_node(b, x)->high, other = flat_node(b, y)->high;
    unsigned n = 0;

    high = other > high ? other : high;
    while (mask_of(n) < high)
        n++;
    return mask_of(n);
}

static flat_expr either(struct flat_builder *b, flat_expr x, flat_expr y)
{
    int64_t mask = mask_over(b, x, y);

    return without(b, mask,
                   meet(b, without(b, mask, x), without(b, mask, y)));
}

static flat_expr one_alone(struct flat_builder *b, flat_expr x, flat_expr y)
{
    int64_t mask = mask_over(b, x, y);

    return either(b, meet(b, x, without(b, mask, y)),
                  meet(b, without(b, mask, x), y));
}

static flat_expr weight(struct flat_builder *b, uint32_t bit)
{
    ENSURE(bit < 63);
    return flat_const(b, INT64_C(1) << bit);
}

static flat_expr bit(struct flat_builder *b, flat_expr x, uint32_t index)
{
    return flat_not(b, term_equals(b, meet(b, x, weight(b, index)), 0));
}

static flat_expr with_bit(struct flat_builder *b, flat_expr x, flat_expr on,
                          uint32_t index)
{
    int64_t mask = mask_over(b, x, weight(b, index));
    flat_expr others = without(b, mask, weight(b, index));
    flat_expr rest = meet(b, x, others);

    return flat_ite(b, on, either(b, x, weight(b, index)), rest);
}

/* ---- shifts ---- */

static flat_expr times(struct flat_builder *b, flat_expr x, unsigned places)
{
    return places > 62 ? flat_const(b, 0)
                       : flat_binary(b, FLAT_MUL, x, weight(b, places));
}

static flat_expr divided(struct flat_builder *b, flat_expr x,
                         unsigned places)
{
    return places > 62 ? flat_const(b, 0)
                       : flat_binary(b, FLAT_DIV, x, weight(b, places));
}

/* x moved by a known number of places, below the width for a rotation. */
static flat_expr moved(struct flat_builder *b, enum code_function function,
                       flat_expr x, unsigned places, unsigned width)
{
    flat_expr out;

    if (function == FUNCTION_SHR)
        return divided(b, x, places);
    if (function == FUNCTION_ROR)
        places = (width - places) % width;
    if (places >= width)
        return flat_const(b, 0);
    out = times(b, lowest(b, x, width - places), places);
    if (function == FUNCTION_SHL || places == 0)
        return out;
    return flat_binary(b, FLAT_ADD, out, divided(b, x, width - places));
}

static flat_expr shift(struct flat_builder *b, const struct code_expr *expr,
                       flat_expr x, flat_expr places)
{
    enum code_function function = expr->function;
    unsigned width = type_width(expr->type), last = width;
    flat_expr all;

    if (function == FUNCTION_ROL || function == FUNCTION_ROR) {
        places = flat_binary(b, FLAT_MOD, places, flat_const(b, width));
        last = width - 1;
    }
    all = moved(b, function, x, last, width);
    for (unsigned i = last; i-- > 0;)
        all = flat_ite(b, term_equals(b, places, i),
                       moved(b, function, x, i, width), all);
    return all;
}

/* ---- the other functions ---- */

static flat_expr greater(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_ite(b, flat_binary(b, FLAT_LE, x, y), y, x);
}

static flat_expr multiplex(struct flat_builder *b, const flat_expr *operand,
                           uint32_t n)
{
    flat_expr all = operand[n - 1];

    for (uint32_t i = n - 2; i > 0; i--)
        all = flat_ite(b, term_equals(b, operand[0], i - 1), operand[i],
                       all);
    return all;
}

static flat_expr extreme(struct flat_builder *b, const flat_expr *operand,
                         uint32_t n, bool most)
{
    flat_expr all = operand[0];

    for (uint32_t i = 1; i < n; i++)
        all = most ? greater(b, all, operand[i])
                   : term_smaller(b, all, operand[i]);
    return all;
}

static flat_expr chain(struct flat_builder *b, enum code_op op,
                       const flat_expr *operand, uint32_t n)
{
    flat_expr all = term_true(b);

    for (uint32_t i = 0; i + 1 < n; i++)
        all = term_and(b, all,
                       operate_value(b, op, operand[i], operand[i + 1]));
    return all;
}

static flat_expr absolute(struct flat_builder *b, flat_expr x)
{
    flat_expr zero = flat_const(b, 0);

    return flat_ite(b, flat_binary(b, FLAT_LT, x, zero),
                    flat_binary(b, FLAT_SUB, zero, x), x);
}

static flat_expr standard(struct flat_builder *b,
                          const struct code_expr *expr,
                          const flat_expr *operand)
{
    uint32_t n = expr->n_args;

    switch (expr->function) {
    case FUNCTION_SEL:
        return flat_ite(b, operand[0], operand[2], operand[1]);
    case FUNCTION_MUX: return multiplex(b, operand, n);
    case FUNCTION_LIMIT:
        return term_smaller(b, greater(b, operand[1], operand[0]),
                            operand[2]);
    case FUNCTION_MIN: return extreme(b, operand, n, false);
    case FUNCTION_MAX: return extreme(b, operand, n, true);
    case FUNCTION_ABS: return absolute(b, operand[0]);
    case FUNCTION_SHL:
    case FUNCTION_SHR:
    case FUNCTION_ROL:
    case FUNCTION_ROR: return shift(b, expr, operand[0], operand[1]);
    case FUNCTION_GT: return chain(b, CODE_GT, operand, n);
    case FUNCTION_GE: return chain(b, CODE_GE, operand, n);
    case FUNCTION_EQ: return chain(b, CODE_EQ, operand, n);
    case FUNCTION_LE: return chain(b, CODE_LE, operand, n);
    case FUNCTION_LT: return chain(b, CODE_LT, operand, n);
    default: break;
    }
    ENSURE(!"a function with a meaning of its own");
    return FLAT_NONE;
}

/* ---- conversions ---- */

static bool is_number(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
}

static bool hands_bits_on(const struct type *from, const struct type *to)
{
    return is_number(from) && is_number(to) &&
           (from->kind == TYPE_BITS || to->kind == TYPE_BITS);
}

/* As many bits as both have; the highest of a signed number weighs less than
 * nothing. */
static flat_expr converted(struct flat_builder *b, const struct type *from,
                           const struct type *to, flat_expr x)
{
    unsigned width = type_width(to);
    flat_expr low, sign;

    if (to->kind == TYPE_BOOL)
        return term_equals(b, x, 1); /* what is neither is an error */
    if (!hands_bits_on(from, to))
        return x;
    if (width > type_width(from) || width == 64)
        return lowest(b, x, width);
    low = lowest(b, x, width);
    if (to->low >= 0)
        return low;
    sign = bit(b, low, width - 1);
    return flat_ite(b, sign,
                    flat_binary(b, FLAT_SUB, low, weight(b, width)), low);
}

/* An item as its number. */
static flat_expr numbered(struct flat_builder *b, const struct type *from,
                          flat_expr x)
{
    flat_expr number;

    if (from->kind != TYPE_ENUM || !from->item_values)
        return x;
    number = flat_const(b, from->item_values[0]);
    for (uint32_t i = 1; i < from->count; i++)
        number = flat_ite(b, term_equals(b, x, i),
                          flat_const(b, from->item_values[i]), number);
    return number;
}

/* Negative numbers do not become wider bit strings. */
static flat_expr unconvertible(struct flat_builder *b,
                               const struct type *from,
                               const struct type *to, flat_expr x)
{
    if (hands_bits_on(from, to))
        return flat_binary(b, FLAT_LT, x, flat_const(b, 0));
    return operate_outside(b, to, x);
}

/* ---- all ---- */

flat_expr words_value(struct flat_builder *b, const struct code_expr *expr,
                      const flat_expr *operand)
{
    const struct type *from;

    switch (expr->op) {
    case CODE_BIT: return bit(b, operand[0], expr->index);
    case CODE_WITH_BIT:
        return with_bit(b, operand[0], operand[1], expr->index);
    case CODE_BIT_AND: return meet(b, operand[0], operand[1]);
    case CODE_BIT_OR: return either(b, operand[0], operand[1]);
    case CODE_BIT_XOR: return one_alone(b, operand[0], operand[1]);
    case CODE_BIT_NOT:
        return without(b, mask_of(type_width(expr->type)), operand[0]);
    case CODE_STANDARD: return standard(b, expr, operand);
    default:
        ENSURE(expr->op == CODE_CONVERT);
        from = type_base(expr->left->type);
        return converted(b, from, expr->type,
                         numbered(b, from, operand[0]));
    }
}

flat_expr words_error(struct flat_builder *b, const struct code_expr *expr,
                      const flat_expr *operand)
{
    const struct type *from;
    flat_expr zero = flat_const(b, 0), last;

    if (expr->op == CODE_CONVERT) {
        from = type_base(expr->left->type);
        return unconvertible(b, from, expr->type,
                             numbered(b, from, operand[0]));
    }
    ENSURE(expr->op == CODE_STANDARD);
    switch (expr->function) {
    case FUNCTION_MUX:
        last = flat_const(b, (int64_t)expr->n_args - 2);
        return term_or(b, flat_binary(b, FLAT_LT, operand[0], zero),
                       flat_binary(b, FLAT_LT, last, operand[0]));
    case FUNCTION_ABS:
        return term_equals(b, operand[0], expr->type->low);
    default: return flat_binary(b, FLAT_LT, operand[1], zero);
    }
}
