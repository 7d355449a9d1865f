#include "check/extent.h"

typedef __int128 wide;

struct extent extent_type(const struct type *type)
{
    return (struct extent){type->low, type->high};
}

static wide least(wide a, wide b)
{
    return a < b ? a : b;
}

static wide most(wide a, wide b)
{
    return a > b ? a : b;
}

static struct extent joined(struct extent a, struct extent b)
{
    return (struct extent){least(a.low, b.low), most(a.high, b.high)};
}

bool extent_holds(struct extent outer, struct extent inner)
{
    return inner.low >= outer.low && inner.high <= outer.high;
}

/* What of it lies in the type: all else is an error. */
static struct extent clipped(struct extent inner, struct extent type)
{
    struct extent both = {most(inner.low, type.low),
                          least(inner.high, type.high)};

    return both.low <= both.high ? both : type;
}

/* ---- numbers ---- */

static struct extent product(struct extent a, struct extent b)
{
    wide p = a.low * b.low, q = a.low * b.high;
    wide r = a.high * b.low, s = a.high * b.high;

    return (struct extent){least(least(p, q), least(r, s)),
                           most(most(p, q), most(r, s))};
}

struct extent extent_combine(enum code_op op, struct extent a,
                             struct extent b)
{
    switch (op) {
    case CODE_ADD: return (struct extent){a.low + b.low, a.high + b.high};
    case CODE_SUB: return (struct extent){a.low - b.high, a.high - b.low};
    case CODE_NEGATE: return (struct extent){-a.high, -a.low};
    default: return product(a, b);
    }
}

/* By numbers of one sign: the ends of both give the ends of all. */
static struct extent quotient(struct extent a, struct extent b)
{
    wide p = a.low / b.low, q = a.low / b.high;
    wide r = a.high / b.low, s = a.high / b.high;

    return (struct extent){least(least(p, q), least(r, s)),
                           most(most(p, q), most(r, s))};
}

/* Dividing by 0 is an error. */
static struct extent divided(struct extent a, struct extent b,
                             struct extent type)
{
    struct extent below = {b.low, least(b.high, -1)};
    struct extent above = {most(b.low, 1), b.high};

    if (below.low > below.high && above.low > above.high)
        return type;
    if (below.low > below.high)
        return quotient(a, above);
    if (above.low > above.high)
        return quotient(a, below);
    return joined(quotient(a, below), quotient(a, above));
}

/* Nearer to 0 than the divisor, no farther than the dividend, whose sign it
 * has. */
static struct extent remainder_of(struct extent a, struct extent b,
                                  struct extent type)
{
    wide far = most(-b.low, b.high) - 1;

    if (far < 0)
        return type;
    return (struct extent){a.low < 0 ? most(a.low, -far) : 0,
                           a.high > 0 ? least(a.high, far) : 0};
}

static struct extent of_numbers(const struct code_expr *expr,
                                struct extent type)
{
    struct extent left = extent_of(expr->left), right = left, all;

    if (expr->turns)
        return type;
    if (expr->right)
        right = extent_of(expr->right);
    all = expr->op == CODE_DIV   ? divided(left, right, type)
          : expr->op == CODE_MOD ? remainder_of(left, right, type)
                                 : extent_combine(expr->op, left, right);
    return clipped(all, type);
}

/* ---- bits ---- */

/* The lowest bits that hold all numbers up to that one. */
static wide mask_over(wide high)
{
    wide mask = 0;

    while (mask < high)
        mask = 2 * mask + 1;
    return mask;
}

/* AND takes bits away, OR adds some, XOR does both. */
static struct extent of_bits(const struct code_expr *expr,
                             struct extent type)
{
    struct extent left = extent_of(expr->left), right, all = type;

    if (expr->op == CODE_BIT_NOT && type_unsigned(expr->type))
        return (struct extent){-1 - left.high, -1 - left.low};
    if (expr->op == CODE_BIT_NOT) {
        wide mask = mask_over(type_base(expr->type)->high);

        return clipped((struct extent){mask - left.high, mask - left.low},
                       type);
    }
    right = extent_of(expr->right);
    if (left.low < 0 || right.low < 0)
        return type;
    all.low = expr->op == CODE_BIT_OR ? most(left.low, right.low) : 0;
    all.high = expr->op == CODE_BIT_AND
                   ? least(left.high, right.high)
                   : mask_over(most(left.high, right.high));
    return clipped(all, type);
}

static wide weight(wide places)
{
    return (wide)1 << (int)least(places, 64);
}

/* By how many places: below 0 is an error. */
static struct extent of_shift(const struct code_expr *expr,
                              struct extent type)
{
    struct extent x = extent_of(expr->args[0].value);
    struct extent n = extent_of(expr->args[1].value);

    n.low = most(n.low, 0);
    if (x.low < 0 || n.high < n.low)
        return type;
    if (expr->function == FUNCTION_SHR)
        return clipped((struct extent){x.low / weight(n.high),
                                       x.high / weight(n.low)}, type);
    if (expr->function != FUNCTION_SHL || n.high >= 64 ||
        x.high * weight(n.high) > type.high)
        return type;
    return clipped((struct extent){x.low * weight(n.low),
                                   x.high * weight(n.high)}, type);
}

/* ---- functions ---- */

static struct extent smaller(struct extent a, struct extent b)
{
    return (struct extent){least(a.low, b.low), least(a.high, b.high)};
}

static struct extent larger(struct extent a, struct extent b)
{
    return (struct extent){most(a.low, b.low), most(a.high, b.high)};
}

static struct extent of_absolute(const struct code_expr *expr,
                                 struct extent type)
{
    struct extent x = extent_of(expr->args[0].value);
    bool near = x.low <= 0 && x.high >= 0;

    return clipped((struct extent){near ? 0 : most(x.low, -x.high),
                                   most(-x.low, x.high)}, type);
}

/* What hands its arguments on lies where they lie.  The bits of an LWORD have
 * another order than the numbers that hold them. */
static struct extent of_choosing(const struct code_expr *expr)
{
    enum code_function function = expr->function;
    bool selects = function == FUNCTION_SEL || function == FUNCTION_MUX;
    bool any = selects || type_unsigned(expr->type);
    struct extent all = extent_of(expr->args[selects].value), one;

    for (uint32_t i = selects + 1u; i < expr->n_args; i++) {
        one = extent_of(expr->args[i].value);
        if (any)
            all = joined(all, one);
        else if (function == FUNCTION_MIN ||
                 (function == FUNCTION_LIMIT && i == 2))
            all = smaller(all, one);
        else
            all = larger(all, one);
    }
    return all;
}

static struct extent of_function(const struct code_expr *expr,
                                 struct extent type)
{
    switch (expr->function) {
    case FUNCTION_SEL:
    case FUNCTION_MUX:
    case FUNCTION_LIMIT:
    case FUNCTION_MIN:
    case FUNCTION_MAX: return of_choosing(expr);
    case FUNCTION_ABS: return of_absolute(expr, type);
    case FUNCTION_SHL:
    case FUNCTION_SHR: return of_shift(expr, type);
    default: return type;
    }
}

/* What fits keeps its value, unless it is read as bits. */
static struct extent of_conversion(const struct code_expr *expr,
                                   struct extent type)
{
    const struct type *from = type_base(expr->left->type);
    struct extent inner = extent_of(expr->left);
    int64_t low, high;

    if (from->kind == TYPE_ENUM) {
        type_numbers(from, &low, &high);
        inner = (struct extent){low, high};
    } else if (expr->type->kind == TYPE_ENUM) {
        return type; /* numbers and items need not have the same order */
    }
    return extent_holds(type, inner) ? inner : type;
}

/* ---- all ---- */

struct extent extent_of(const struct code_expr *expr)
{
    struct extent type = extent_type(expr->type);

    switch (expr->op) {
    case CODE_CONST: return (struct extent){expr->value, expr->value};
    case CODE_ADD:
    case CODE_SUB:
    case CODE_MUL:
    case CODE_NEGATE:
    case CODE_DIV:
    case CODE_MOD: return of_numbers(expr, type);
    case CODE_BIT_AND:
    case CODE_BIT_OR:
    case CODE_BIT_XOR:
    case CODE_BIT_NOT: return of_bits(expr, type);
    case CODE_STANDARD: return of_function(expr, type);
    case CODE_CONVERT: return of_conversion(expr, type);
    default: return type;
    }
}

void extent_find(const struct code_expr *expr, int64_t *low, int64_t *high)
{
    struct extent extent = extent_of(expr);

    *low = (int64_t)extent.low;
    *high = (int64_t)extent.high;
}

bool extent_lies_in(const struct code_expr *expr, int64_t low, int64_t high)
{
    return extent_holds((struct extent){low, high}, extent_of(expr));
}
