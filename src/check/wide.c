#include "check/wide.h"

#include "check/abstract.h"
#include "check/arith.h"
#include "check/convert.h"
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
    return expr->site == CODE_NO_SITE ||
           (kind != TYPE_BITS && expr->type->low != INT64_MIN);
}

enum { MOST_OPERANDS = FUNCTION_MOST_ARGS + 2 };

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

/* Any number, of which those that do not fit are the run-time error that the
 * expression had. */
static struct code_expr *with_error(struct env *env,
                                    const struct code_expr *expr,
                                    struct code_expr *any)
{
    size_t sites = env->draft->errors.n;
    struct code_expr *out =
        convert_made(env, type_base(expr->type), any, expr->span);

    env->draft->errors.n = sites; /* that of the expression stands for it */
    out->site = expr->site;
    return out;
}

static bool is_shift(const struct code_expr *expr)
{
    return expr->op == CODE_STANDARD && (expr->function == FUNCTION_SHL ||
                                         expr->function == FUNCTION_SHR ||
                                         expr->function == FUNCTION_ROL ||
                                         expr->function == FUNCTION_ROR);
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

struct code_expr *wide_value(struct env *env, struct code_expr *expr)
{
    struct code_expr *operand[MOST_OPERANDS], *any;
    bool compares = expr && expr->op >= CODE_EQ && expr->op <= CODE_GE;
    bool error;
    uint32_t n;

    if (!expr || env->text != TEXT_CONTROL ||
        !widening_has(env->draft, expr->span))
        return expr;
    if (is_shift(expr) && expr->site != CODE_NO_SITE)
        return open_shift(env, expr);
    if (!can_open(expr))
        return expr;
    error = expr->site != CODE_NO_SITE;
    n = operands(expr, expr->span, operand);
    any = abstract_any(env,
                       (struct open_place){
                           .kind = compares ? OPEN_COMPARISON : OPEN_VALUE,
                           .what = draft_words(env->draft, expr->span),
                           .type = error ? env->draft->types.lint
                                         : type_base(expr->type),
                           .span = expr->span},
                       operand, n);
    return any && error ? with_error(env, expr, any) : any;
}
