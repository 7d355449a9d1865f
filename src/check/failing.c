#include "check/failing.h"

#include "check/arith.h"
#include "check/convert.h"
#include "check/extent.h"
#include "check/widening.h"
#include "check/written.h"

typedef __int128 wide;

/* ---- conditions; NULL never holds ---- */

static struct code_expr *made(struct env *env, enum code_op op,
                              const struct code_expr *left,
                              const struct code_expr *right)
{
    struct code_expr *expr = arith_new(
        env->draft, op, env->draft->types.boolean, left->span);

    expr->left = left;
    expr->right = right;
    return expr;
}

static struct code_expr *compared(struct env *env, enum code_op op,
                                  const struct code_expr *x, wide with)
{
    return made(env, op, x,
                arith_constant(env->draft, type_base(x->type), (int64_t)with,
                               x->span));
}

static struct code_expr *either(struct env *env, struct code_expr *a,
                                struct code_expr *b)
{
    return a && b ? made(env, CODE_OR, a, b) : a ? a : b;
}

/* x < low or x > high, as far as x can be there. */
static struct code_expr *outside(struct env *env, const struct code_expr *x,
                                 wide low, wide high)
{
    struct extent of = extent_of(x);

    if (low > of.high || high < of.low)
        return NULL; /* always: not worth a condition */
    return either(env,
                  of.low < low ? compared(env, CODE_LT, x, low) : NULL,
                  of.high > high ? compared(env, CODE_GT, x, high) : NULL);
}

static struct code_expr *is(struct env *env, const struct code_expr *x,
                            wide value)
{
    struct extent of = extent_of(x);

    return value >= of.low && value <= of.high
               ? compared(env, CODE_EQ, x, value)
               : NULL;
}

/* ---- operators ---- */

/* The x for which x + shift lies in the type. */
static struct code_expr *sum(struct env *env, const struct code_expr *x,
                             wide shift, const struct type *type)
{
    return outside(env, x, type->low - shift, type->high - shift);
}

/* Those for which shift - x does. */
static struct code_expr *difference(struct env *env, wide shift,
                                    const struct code_expr *x,
                                    const struct type *type)
{
    return outside(env, x, shift - type->high, shift - type->low);
}

/* Those for which x * by does: quotients are cut towards 0. */
static struct code_expr *product(struct env *env, const struct code_expr *x,
                                 wide by, const struct type *type)
{
    if (by == 0)
        return NULL;
    return by > 0 ? outside(env, x, type->low / by, type->high / by)
                  : outside(env, x, type->high / by, type->low / by);
}

/* The one quotient of integers that does not fit: lowest / -1. */
static struct code_expr *quotient(struct env *env,
                                  const struct code_expr *expr,
                                  const struct type *type)
{
    struct code_expr *low = NULL, *by = NULL;

    if (expr->op == CODE_DIV && -(wide)type->low > type->high) {
        low = is(env, expr->left, type->low);
        by = is(env, expr->right, -1);
    }
    return either(env, is(env, expr->right, 0),
                  low && by ? made(env, CODE_AND, low, by) : NULL);
}

static struct code_expr *of_numbers(struct env *env,
                                    const struct code_expr *expr)
{
    const struct code_expr *left = expr->left, *right = expr->right;
    const struct type *type = type_base(expr->type);

    if (expr->op == CODE_NEGATE)
        return difference(env, 0, left, type);
    if (expr->op == CODE_DIV || expr->op == CODE_MOD)
        return quotient(env, expr, type);
    if (right->op == CODE_CONST)
        return expr->op == CODE_MUL
                   ? product(env, left, right->value, type)
                   : sum(env, left,
                         expr->op == CODE_ADD ? (wide)right->value
                                              : -(wide)right->value, type);
    if (left->op != CODE_CONST)
        return NULL;
    return expr->op == CODE_MUL   ? product(env, right, left->value, type)
           : expr->op == CODE_ADD ? sum(env, right, left->value, type)
                                  : difference(env, left->value, right, type);
}

static bool is_number(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
}

/* Negative numbers do not become wider bit strings. */
static struct code_expr *of_conversion(struct env *env,
                                       const struct code_expr *expr)
{
    const struct type *from = type_base(expr->left->type), *to = expr->type;

    if (from->kind == TYPE_ENUM || to->kind == TYPE_ENUM)
        return NULL;
    if (is_number(from) && is_number(to) &&
        (from->kind == TYPE_BITS || to->kind == TYPE_BITS))
        return outside(env, expr->left, 0, INT64_MAX);
    return outside(env, expr->left, to->low, to->high);
}

static struct code_expr *condition(struct env *env,
                                   const struct code_expr *expr)
{
    const struct type *type = type_base(expr->type);

    if (type_unsigned(type) ||
        (expr->left && type_unsigned(expr->left->type)))
        return NULL; /* comparing an LWORD does not go by its number */
    if (expr->op >= CODE_NEGATE && expr->op <= CODE_MOD)
        return of_numbers(env, expr);
    if (expr->op == CODE_CONVERT)
        return of_conversion(env, expr);
    if (expr->op != CODE_STANDARD)
        return NULL;
    if (expr->function == FUNCTION_ABS)
        return outside(env, expr->args[0].value, -(wide)type->high,
                       type->high);
    if (expr->function >= FUNCTION_SHL && expr->function <= FUNCTION_ROR)
        return outside(env, expr->args[1].value, 0, INT64_MAX);
    if (expr->function == FUNCTION_MUX)
        return outside(env, expr->args[0].value, 0, (wide)expr->n_args - 2);
    return NULL;
}

/* ---- all ---- */

/* What is called would be called twice. */
static bool is_plain(const struct code_expr *expr)
{
    if (!expr)
        return true;
    if (expr->op == CODE_CALL)
        return false;
    for (uint32_t i = 0; i < expr->variable.n_steps; i++)
        if (!is_plain(expr->variable.steps[i].value))
            return false;
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (!is_plain(expr->args[i].value))
            return false;
    return is_plain(expr->left) && is_plain(expr->right);
}

/* What was made for one expression, such as the products of a power, has an
 * error as a whole. */
static bool is_one(const struct code_expr *expr)
{
    const struct code_expr *sides[2] = {expr->left, expr->right};

    for (int i = 0; i < 2; i++)
        if (sides[i] && sides[i]->left &&
            widening_same(sides[i]->span, expr->span))
            return false;
    return true;
}

struct code_expr *failing_guard(struct env *env,
                                const struct code_expr *expr)
{
    const struct type *no;
    struct code_expr *fails, *guard;
    size_t sites = env->draft->errors.n;

    if (expr->turns || !is_plain(expr) || !is_one(expr))
        return NULL;
    fails = condition(env, expr);
    if (!fails)
        return NULL;
    no = written_subrange(env->draft, env->draft->types.boolean, 0, 0);
    guard = convert_made(env, no, fails, expr->span);
    env->draft->errors.n = sites; /* that of the expression stands for it */
    guard->site = expr->site;
    return guard;
}
