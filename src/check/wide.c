#include "check/wide.h"

#include "check/abstract.h"
#include "check/arith.h"
#include "check/convert.h"
#include "check/extent.h"
#include "check/failing.h"
#include "check/widening.h"
#include "check/written.h"

/* ---- values ---- */

static bool can_open(const struct code_expr *expr)
{
    enum type_kind kind = expr->type->kind;

    if (expr->op != CODE_VARIABLE &&
        (expr->op < CODE_EQ || expr->op == CODE_CALL || expr->op >= CODE_ANY))
        return false;
    if (kind == TYPE_REAL || kind == TYPE_OPAQUE ||
        !type_elementary(expr->type))
        return false;
    /* the number of an error must be one beyond the type */
    return expr->site == CODE_NO_SITE || expr->type->low != INT64_MIN;
}

enum { MOST_OPERANDS = FUNCTION_MOST_ARGS + 2, MOST_BITS = 8 };

static bool is_part(const struct code_expr *expr)
{
    return (expr->op >= CODE_NEGATE && expr->op <= CODE_MOD) ||
           (expr->op >= CODE_BIT_AND && expr->op <= CODE_BIT_NOT);
}

/* All that the expression is made of; what was made for it, such as the
 * products of a power, is gone through. */
static uint32_t operands(const struct code_expr *expr, struct span span,
                         struct code_expr **operand)
{
    const struct code_expr *sides[2] = {expr->left, expr->right};
    uint32_t n = 0;

    for (int i = 0; i < 2; i++) {
        if (!sides[i])
            continue;
        if (is_part(sides[i]) && widening_same(sides[i]->span, span))
            n += operands(sides[i], span, operand + n);
        else
            operand[n++] = (struct code_expr *)sides[i];
    }
    for (uint32_t i = 0; i < expr->n_args; i++)
        operand[n++] = (struct code_expr *)expr->args[i].value;
    return n;
}

/* The type, narrowed to where the value lies. */
static const struct type *narrowed(struct env *env,
                                   const struct code_expr *expr)
{
    const struct type *type = type_base(expr->type);
    int64_t low, high;

    if (type->kind != TYPE_INTEGER && type->kind != TYPE_BITS &&
        type->kind != TYPE_TIME)
        return type;
    extent_find(expr, &low, &high);
    return low > type->low || high < type->high
               ? written_subrange(env->draft, type, low, high)
               : type;
}

/* The run-time error of the expression, or else of what was made for it. */
static uint32_t site_within(const struct code_expr *expr, struct span span)
{
    const struct code_expr *sides[2] = {expr->left, expr->right};
    uint32_t site = expr->site;

    for (int i = 0; i < 2; i++)
        if (site == CODE_NO_SITE && sides[i] && is_part(sides[i]) &&
            widening_same(sides[i]->span, span))
            site = site_within(sides[i], span);
    return site;
}

/* Does the controller make a result of this type of what does not fit? */
static bool surely_turns(const struct env *env, const struct code_expr *expr)
{
    return expr->turns && expr->op != CODE_DIV &&
           !env->draft->model->settings[SETTING_OVERFLOW].any;
}

/* Any number, of which one that does not fit is the run-time error that the
 * expression had. */
static struct code_expr *with_error(struct env *env,
                                    const struct code_expr *expr,
                                    struct code_expr *any, uint32_t site)
{
    const struct type *to = narrowed(env, expr), *number = to;
    size_t sites = env->draft->errors.n;
    struct code_expr *out;

    if (to->kind == TYPE_BITS) /* takes the low bits of any number */
        number = written_subrange(env->draft, env->draft->types.lint, to->low,
                                  to->high);
    out = convert_made(env, number, any, expr->span);
    env->draft->errors.n = sites; /* that of the expression stands for it */
    out->site = site;
    return number == to ? out : convert_made(env, to, out, expr->span);
}

/* What the expression can be, and one number that stands for its error. */
static const struct type *beyond(struct env *env,
                                 const struct code_expr *expr)
{
    const struct type *lint = env->draft->types.lint;
    int64_t low, high;

    if (type_base(expr->type)->kind == TYPE_ENUM)
        return lint;
    extent_find(expr, &low, &high);
    return high < INT64_MAX
               ? written_subrange(env->draft, lint, low, high + 1)
               : written_subrange(env->draft, lint, low - 1, high);
}

static bool is_shift(const struct code_expr *expr)
{
    return expr->op == CODE_STANDARD && (expr->function == FUNCTION_SHL ||
                                         expr->function == FUNCTION_SHR ||
                                         expr->function == FUNCTION_ROL ||
                                         expr->function == FUNCTION_ROR);
}

/* Has what is shifted so many values that not each is tried? */
static bool shifts_much(const struct code_expr *expr)
{
    int64_t low, high;

    extent_find(expr->args[0].value, &low, &high);
    return (uint64_t)high - (uint64_t)low >= DRAFT_MAX_VALUES;
}

/* A shift by a number that nobody knows: any from -1, the run-time error, to
 * the width; farther ones do the same as one of these.  The value that is
 * shifted is left alone. */
static struct code_expr *open_shift(struct env *env, struct code_expr *expr)
{
    struct code_arg *args = (struct code_arg *)expr->args;
    struct code_expr *places = (struct code_expr *)args[1].value;
    const struct type *type = type_base(places->type);
    int64_t least = type->low < 0 ? -1 : 0;

    if (places->op == CODE_CONST || type->kind != TYPE_INTEGER)
        return expr;
    args[1].value = abstract_any(
        env,
        (struct open_place){.kind = OPEN_VALUE,
                            .what = draft_words(env->draft, places->span),
                            .type = written_subrange(
                                env->draft, type, least,
                                type_width(expr->type)),
                            .span = places->span},
        &places, 1);
    return args[1].value ? expr : NULL;
}

/* Single bits, and not the lowest ones: they are open, one by one. */
static bool takes_bits(const struct code_expr *expr)
{
    const struct code_expr *mask = expr->right;
    uint64_t bits;

    if (expr->op != CODE_BIT_AND || mask->op != CODE_CONST)
        return false;
    bits = (uint64_t)mask->value;
    return (bits & (bits + 1)) && __builtin_popcountll(bits) <= MOST_BITS;
}

static struct code_expr *open_bits(struct env *env, struct code_expr *expr)
{
    struct code_expr *left = (struct code_expr *)expr->left;

    expr->left = abstract_any(
        env,
        (struct open_place){.kind = OPEN_VALUE,
                            .what = draft_words(env->draft, expr->span),
                            .type = type_base(expr->type),
                            .span = expr->span},
        &left, 1);
    return expr->left ? expr : NULL;
}

/* Any of what it can be; with one number that stands for its run-time error,
 * if it has such a site. */
static struct code_expr *open_value(struct env *env,
                                    const struct code_expr *expr,
                                    struct code_expr **operand, uint32_t n,
                                    uint32_t site)
{
    bool error = site != CODE_NO_SITE;
    bool compares = expr->op >= CODE_EQ && expr->op <= CODE_GE;
    struct code_expr *any = abstract_any(
        env,
        (struct open_place){.kind = compares ? OPEN_COMPARISON : OPEN_VALUE,
                            .what = draft_words(env->draft, expr->span),
                            .type = error ? beyond(env, expr)
                                          : narrowed(env, expr),
                            .span = expr->span},
        operand, n);

    return any && error ? with_error(env, expr, any, site) : any;
}

struct code_expr *wide_value(struct env *env, struct code_expr *expr)
{
    struct code_expr *operand[MOST_OPERANDS + 1], *guard = NULL;
    uint32_t n, site;

    if (!expr || env->text != TEXT_CONTROL ||
        !widening_has(env->draft, expr->span))
        return expr;
    if (is_shift(expr) && expr->site != CODE_NO_SITE && !shifts_much(expr))
        return open_shift(env, expr);
    if (!can_open(expr))
        return expr;
    if (takes_bits(expr))
        return open_bits(env, expr);
    n = operands(expr, expr->span, operand);
    site = surely_turns(env, expr) ? CODE_NO_SITE
                                   : site_within(expr, expr->span);
    if (site != CODE_NO_SITE)
        guard = failing_guard(env, expr);
    if (guard)
        operand[n++] = guard;
    return open_value(env, expr, operand, n, guard ? CODE_NO_SITE : site);
}
