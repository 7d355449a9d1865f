/* All of it comes down to FLAT_MEET: NOT x = mask - x, and x OR y =
 * NOT (NOT x AND NOT y), so that ranges stay within the mask.  Of 64 bits the
 * highest is the sign: what moves bits takes it apart, so that nothing leaves
 * int64. */
#include "lower/words.h"

#include "base/ensure.h"
#include "lower/operate.h"
#include "lower/term.h"

bool words_are(enum code_op op)
{
    return op >= CODE_BIT && op <= CODE_CONVERT;
}

/* ---- bits ---- */

static int64_t mask_of(unsigned n)
{
    return n >= 64 ? -1 : (int64_t)((UINT64_C(1) << n) - 1);
}

static flat_expr meet(struct flat_builder *b, flat_expr x, flat_expr y)
{
    return flat_binary(b, FLAT_MEET, x, y);
}

static flat_expr lowest(struct flat_builder *b, flat_expr x, unsigned n)
{
    return n >= 64 ? x : meet(b, x, flat_const(b, mask_of(n)));
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

    if (flat_node(b, x)->low < 0 || flat_node(b, y)->low < 0)
        return -1;
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

static flat_expr has_sign(struct flat_builder *b, flat_expr x)
{
    return flat_binary(b, FLAT_LT, x, flat_const(b, 0));
}

/* x, whose bit 63 is not set, with that bit where on is TRUE. */
static flat_expr with_sign(struct flat_builder *b, flat_expr x, flat_expr on)
{
    return flat_ite(b, on, flat_binary(b, FLAT_ADD, x,
                                       flat_const(b, INT64_MIN)), x);
}

static flat_expr bit(struct flat_builder *b, flat_expr x, uint32_t index)
{
    if (index == 63)
        return has_sign(b, x);
    return flat_not(b, term_equals(b, meet(b, x, weight(b, index)), 0));
}

static flat_expr with_bit(struct flat_builder *b, flat_expr x, flat_expr on,
                          uint32_t index)
{
    if (index == 63)
        return with_sign(b, lowest(b, x, 63), on);

    int64_t mask = mask_over(b, x, weight(b, index));
    flat_expr others = without(b, mask, weight(b, index));
    flat_expr rest = meet(b, x, others);

    return flat_ite(b, on, either(b, x, weight(b, index)), rest);
}

/* ---- shifts ---- */

/* The lowest `width - places` bits of x, so many places up. */
static flat_expr up(struct flat_builder *b, flat_expr x, unsigned places,
                    unsigned width)
{
    if (places >= width)
        return flat_const(b, 0);
    if (places == 0)
        return lowest(b, x, width);
    if (width < 64)
        return flat_binary(b, FLAT_MUL, lowest(b, x, width - places),
                           weight(b, places));
    return with_sign(b,
                     places == 63
                         ? flat_const(b, 0)
                         : flat_binary(b, FLAT_MUL,
                                       lowest(b, x, 63 - places),
                                       weight(b, places)),
                     bit(b, x, 63 - places));
}

static flat_expr down(struct flat_builder *b, flat_expr x, unsigned places)
{
    flat_expr rest;

    if (places > 63)
        return flat_const(b, 0);
    if (places == 0)
        return x;
    rest = places == 63 ? flat_const(b, 0)
                        : flat_binary(b, FLAT_DIV, lowest(b, x, 63),
                                      weight(b, places));
    if (flat_node(b, x)->low >= 0)
        return rest;
    return flat_ite(b, has_sign(b, x),
                    flat_binary(b, FLAT_ADD, rest,
                                weight(b, 63 - places)), rest);
}

/* x moved by a known number of places, below the width for a rotation. */
static flat_expr moved(struct flat_builder *b, enum code_function function,
                       flat_expr x, unsigned places, unsigned width)
{
    flat_expr out;

    if (function == FUNCTION_SHR)
        return down(b, x, places);
    if (function == FUNCTION_ROR)
        places = (width - places) % width;
    out = up(b, x, places, width);
    if (function == FUNCTION_SHL || places == 0)
        return out;
    return flat_binary(b, FLAT_ADD, out, down(b, x, width - places));
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

/* The smaller of two numbers, or of two LWORDs, or the greater one. */
static flat_expr one_of(struct flat_builder *b, const struct code_expr *expr,
                        flat_expr x, flat_expr y, bool greater)
{
    const struct type *type = expr->type;
    flat_expr ordered = flat_binary(b, FLAT_LE, operate_order(b, type, x),
                                    operate_order(b, type, y));

    return greater ? flat_ite(b, ordered, y, x) : flat_ite(b, ordered, x, y);
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

static flat_expr extreme(struct flat_builder *b,
                         const struct code_expr *expr,
                         const flat_expr *operand, bool most)
{
    flat_expr all = operand[0];

    for (uint32_t i = 1; i < expr->n_args; i++)
        all = one_of(b, expr, all, operand[i], most);
    return all;
}

/* Some of the operands may be of a narrower type. */
static flat_expr chain(struct flat_builder *b, enum code_op op,
                       const struct code_expr *expr, const flat_expr *operand)
{
    flat_expr all = term_true(b);
    const struct type *type = expr->args[0].value->type;

    for (uint32_t i = 1; i < expr->n_args && !type_unsigned(type); i++)
        type = expr->args[i].value->type;
    for (uint32_t i = 0; i + 1 < expr->n_args; i++)
        all = term_and(b, all,
                       operate_value(b, op,
                                     operate_order(b, type, operand[i]),
                                     operate_order(b, type,
                                                   operand[i + 1])));
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
        return one_of(b, expr, one_of(b, expr, operand[1], operand[0], true),
                      operand[2], false);
    case FUNCTION_MIN: return extreme(b, expr, operand, false);
    case FUNCTION_MAX: return extreme(b, expr, operand, true);
    case FUNCTION_ABS: return absolute(b, operand[0]);
    case FUNCTION_SHL:
    case FUNCTION_SHR:
    case FUNCTION_ROL:
    case FUNCTION_ROR: return shift(b, expr, operand[0], operand[1]);
    case FUNCTION_GT: return chain(b, CODE_GT, expr, operand);
    case FUNCTION_GE: return chain(b, CODE_GE, expr, operand);
    case FUNCTION_EQ: return chain(b, CODE_EQ, expr, operand);
    case FUNCTION_LE: return chain(b, CODE_LE, expr, operand);
    case FUNCTION_LT: return chain(b, CODE_LT, expr, operand);
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

/* The number of an item: items whose numbers follow one another as they do
 * are one case. */
static flat_expr number_of_item(struct flat_builder *b,
                                const struct type *type, flat_expr x)
{
    const int64_t *number = type->item_values;
    flat_expr all = FLAT_NONE, one;
    uint32_t first = type->count;

    if (!number)
        return x;
    while (first > 0) {
        uint32_t last = --first;

        while (first > 0 && number[first - 1] == number[first] - 1)
            first--;
        one = first == last
                  ? flat_const(b, number[first])
                  : flat_binary(b, FLAT_ADD, x,
                                flat_const(b, number[first] - first));
        all = all == FLAT_NONE
                  ? one
                  : flat_ite(b, flat_binary(b, FLAT_LE, x,
                                            flat_const(b, last)),
                             one, all);
    }
    return all;
}

/* The item with that number; what has none is an error. */
static flat_expr item_of_number(struct flat_builder *b,
                                const struct type *type, flat_expr x)
{
    flat_expr all = flat_const(b, 0);

    for (uint32_t i = type->count; i-- > 1;)
        all = flat_ite(b, term_equals(b, x, type_item_number(type, i)),
                       flat_const(b, i), all);
    return all;
}

static flat_expr has_no_item(struct flat_builder *b,
                             const struct type *type, flat_expr x)
{
    flat_expr some = term_false(b);

    for (uint32_t i = 0; i < type->count; i++)
        some = term_or(b, some,
                       term_equals(b, x, type_item_number(type, i)));
    return flat_not(b, some);
}

/* As many bits as both have; the highest of a signed number weighs less than
 * nothing. */
static flat_expr converted(struct flat_builder *b, const struct type *from,
                           const struct type *to, flat_expr x)
{
    unsigned width = type_width(to);
    flat_expr low, sign;

    if (from->kind == TYPE_ENUM)
        return number_of_item(b, from, x);
    if (to->kind == TYPE_ENUM)
        return item_of_number(b, to, x);
    if (to->kind == TYPE_BOOL)
        return term_equals(b, x, 1); /* what is neither is an error */
    if (!hands_bits_on(from, to))
        return x;
    if (width == 64)
        return x; /* ULINT: what has bit 63 is an error */
    low = lowest(b, x, width);
    if (width > type_width(from) || to->low >= 0)
        return low;
    sign = bit(b, low, width - 1);
    return flat_ite(b, sign,
                    flat_binary(b, FLAT_SUB, low, weight(b, width)), low);
}

/* Negative numbers do not become wider bit strings, nor what has bit 63 a
 * ULINT. */
static flat_expr unconvertible(struct flat_builder *b,
                               const struct type *from,
                               const struct type *to, flat_expr x)
{
    if (to->kind == TYPE_ENUM)
        return has_no_item(b, to, x);
    if (from->kind == TYPE_ENUM)
        x = number_of_item(b, from, x);
    else if (hands_bits_on(from, to))
        return has_sign(b, x);
    return operate_outside(b, to, x);
}

/* ---- all ---- */

flat_expr words_value(struct flat_builder *b, const struct code_expr *expr,
                      const flat_expr *operand)
{
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
        return converted(b, type_base(expr->left->type), expr->type,
                         operand[0]);
    }
}

flat_expr words_error(struct flat_builder *b, const struct code_expr *expr,
                      const flat_expr *operand)
{
    flat_expr zero = flat_const(b, 0), last;

    if (expr->op == CODE_CONVERT)
        return unconvertible(b, type_base(expr->left->type), expr->type,
                             operand[0]);
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
