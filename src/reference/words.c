#include "reference/words.h"

#include "base/ensure.h"

/* ---- types ---- */

static const struct type *plain(const struct type *type)
{
    return type->base ? type->base : type;
}

/* Bits of a type, counted from the largest value. */
static unsigned bits_of(const struct type *type)
{
    const struct type *base = plain(type);
    bool has_sign = base->low < 0;

    if (base->high == INT8_MAX || (!has_sign && base->high == UINT8_MAX))
        return 8;
    if (base->high == INT16_MAX || (!has_sign && base->high == UINT16_MAX))
        return 16;
    if (base->high == INT32_MAX || (!has_sign && base->high == UINT32_MAX))
        return 32;
    return 64;
}

static uint64_t all_ones(unsigned bits)
{
    return bits == 64 ? UINT64_MAX : (UINT64_C(1) << bits) - 1;
}

/* ---- shifts ---- */

static bool shifted(const struct code_expr *expr, int64_t value,
                    int64_t places, int64_t *result)
{
    unsigned bits = bits_of(expr->type);
    uint64_t x = (uint64_t)value, mask = all_ones(bits);
    bool left = expr->function == FUNCTION_SHL ||
                expr->function == FUNCTION_ROL;
    bool turns = expr->function == FUNCTION_ROL ||
                 expr->function == FUNCTION_ROR;

    if (places < 0)
        return false;
    if (turns)
        places %= (int64_t)bits;
    else if (places > (int64_t)bits)
        places = (int64_t)bits;
    for (; places > 0; places--) {
        uint64_t lost = left ? x >> (bits - 1) & 1 : x & 1;

        x = left ? x << 1 & mask : x >> 1;
        if (turns)
            x |= left ? lost : lost << (bits - 1);
    }
    *result = (int64_t)x;
    return true;
}

/* ---- functions ---- */

int64_t words_order(const struct code_expr *left,
                    const struct code_expr *right, int64_t a, int64_t b)
{
    bool as_bits = type_unsigned(left->type) || type_unsigned(right->type);

    if (a == b)
        return 0;
    return (as_bits ? (uint64_t)a < (uint64_t)b : a < b) ? -1 : 1;
}

static bool in_order(enum code_function function, int64_t order)
{
    switch (function) {
    case FUNCTION_GT: return order > 0;
    case FUNCTION_GE: return order >= 0;
    case FUNCTION_EQ: return order == 0;
    case FUNCTION_LE: return order <= 0;
    default:
        ENSURE(function == FUNCTION_LT);
        return order < 0;
    }
}

static int64_t all_in_order(const struct code_expr *expr,
                            const int64_t *operand)
{
    for (uint32_t i = 1; i < expr->n_args; i++)
        if (!in_order(expr->function,
                      words_order(expr->args[i - 1].value,
                                  expr->args[i].value, operand[i - 1],
                                  operand[i])))
            return 0;
    return 1;
}

/* Is a below b, as values of that expression? */
static bool below(const struct code_expr *expr, int64_t a, int64_t b)
{
    return words_order(expr, expr, a, b) < 0;
}

static int64_t extreme(const struct code_expr *expr, const int64_t *operand)
{
    bool greatest = expr->function == FUNCTION_MAX;
    int64_t best = operand[0];

    for (uint32_t i = 1; i < expr->n_args; i++)
        if (greatest ? below(expr, best, operand[i])
                     : below(expr, operand[i], best))
            best = operand[i];
    return best;
}

static bool limited(const struct code_expr *expr, const int64_t *operand,
                    int64_t *result)
{
    int64_t least = operand[0], most = operand[2];

    *result = below(expr, operand[1], least) ? least : operand[1];
    if (below(expr, most, *result))
        *result = most;
    return true;
}

static bool function_value(const struct code_expr *expr,
                           const int64_t *operand, int64_t *result)
{
    switch (expr->function) {
    case FUNCTION_SEL:
        *result = operand[0] ? operand[2] : operand[1];
        return true;
    case FUNCTION_MUX:
        if (operand[0] < 0 || operand[0] + 1 >= (int64_t)expr->n_args)
            return false;
        *result = operand[operand[0] + 1];
        return true;
    case FUNCTION_LIMIT:
        return limited(expr, operand, result);
    case FUNCTION_MIN:
    case FUNCTION_MAX:
        *result = extreme(expr, operand);
        return true;
    case FUNCTION_ABS:
        if (operand[0] < 0 && operand[0] < -plain(expr->type)->high)
            return false;
        *result = operand[0] < 0 ? -operand[0] : operand[0];
        return true;
    case FUNCTION_SHL: case FUNCTION_SHR:
    case FUNCTION_ROL: case FUNCTION_ROR:
        return shifted(expr, operand[0], operand[1], result);
    default:
        *result = all_in_order(expr, operand);
        return true;
    }
}

/* ---- conversions ---- */

static bool is_bits(const struct type *type)
{
    return type->kind == TYPE_BITS;
}

/* Read as a number of this type. */
static int64_t read_as(const struct type *type, uint64_t pattern)
{
    unsigned bits = bits_of(type);

    pattern &= all_ones(bits);
    if (type->low < 0 && bits < 64 && pattern >> (bits - 1))
        return (int64_t)pattern - (int64_t)(all_ones(bits) >> 1) * 2 - 2;
    return (int64_t)pattern;
}

static bool conversion(const struct type *from, const struct type *to,
                       int64_t value, int64_t *result)
{
    bool pattern = (is_bits(from) && is_bits(to)) ||
                   (is_bits(from) && to->kind == TYPE_INTEGER) ||
                   (is_bits(to) && from->kind == TYPE_INTEGER);

    if (from->kind == TYPE_ENUM && from->item_values)
        value = from->item_values[value];
    *result = value;
    if (to->kind == TYPE_ENUM && to->item_values) {
        for (uint32_t i = 0; i < to->count; i++)
            if (to->item_values[i] == value) {
                *result = i;
                return true;
            }
        return false;
    }
    if (!pattern)
        return value >= to->low && value <= to->high;
    if (value < 0 && bits_of(to) == 64 && !is_bits(to) && to->low >= 0)
        return false; /* ULINT ends below bit 63 */
    if (value < 0 && bits_of(to) > bits_of(from))
        return false;
    *result = read_as(to, (uint64_t)value);
    return true;
}

/* ---- all ---- */

bool words_compute(const struct code_expr *expr, const int64_t *operand,
                   int64_t *result)
{
    uint64_t a = (uint64_t)operand[0], b = (uint64_t)operand[1], one;

    switch (expr->op) {
    case CODE_BIT:
        *result = (int64_t)(a >> expr->index & 1);
        return true;
    case CODE_WITH_BIT:
        one = UINT64_C(1) << expr->index;
        *result = (int64_t)(b ? a | one : a & ~one);
        return true;
    case CODE_BIT_AND: *result = (int64_t)(a & b); return true;
    case CODE_BIT_OR: *result = (int64_t)(a | b); return true;
    case CODE_BIT_XOR: *result = (int64_t)(a ^ b); return true;
    case CODE_BIT_NOT:
        *result = (int64_t)(~a & all_ones(bits_of(expr->type)));
        return true;
    case CODE_STANDARD: return function_value(expr, operand, result);
    default:
        ENSURE(expr->op == CODE_CONVERT);
        return conversion(plain(expr->left->type), expr->type, operand[0],
                          result);
    }
}
