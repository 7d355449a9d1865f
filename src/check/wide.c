#include "check/wide.h"

#include "check/abstract.h"
#include "check/arith.h"
#include "check/convert.h"

enum { MOST_SPANS = 5000 };

static bool same_span(struct span a, struct span b)
{
    return a.file == b.file && a.from == b.from && a.to == b.to;
}

/* ---- asking ---- */

/* Its number, or the count of all. */
static size_t find_open(const struct widening *w, struct span span)
{
    size_t i = 0;

    while (i < w->open.n && !same_span(w->open.at[i], span))
        i++;
    return i;
}

static bool is_open(const struct widening *w, struct span span)
{
    return find_open(w, span) < w->open.n;
}

bool wide_open_at(struct draft *draft, struct span span)
{
    struct widening *w = draft->widening;

    if (!w || w->closed || !span.file || w->open.n >= MOST_SPANS)
        return false;
    if (is_open(w, span)) /* asked for by another choice of this round? */
        return find_open(w, span) >= w->before;
    vec_push(&w->open, span);
    w->again = true;
    return true;
}

/* Does no text write any part of the variable? */
static bool is_untouched(const struct draft *draft,
                         const struct symbol *symbol)
{
    for (uint32_t i = 0; i < draft->slots.n; i++)
        if (draft->uses.at[i].symbol == symbol &&
            (draft->uses.at[i].written.file || draft->uses.at[i].wired.file ||
             draft->uses.at[i].shared ||
             draft->slots.at[i].driver == DRIVER_FIXED))
            return false;
    return true;
}

bool wide_hold(struct draft *draft, uint32_t slot)
{
    const struct symbol *symbol = draft->uses.at[slot].symbol;
    struct widening *w = draft->widening;

    if (!w || w->closed || !symbol || symbol->at_input ||
        symbol->section == TREE_VAR_INPUT || draft->uses.at[slot].shared ||
        (draft->slots.at[slot].retain && draft->model->retain_any))
        return false;
    for (size_t i = 0; i < w->held.n; i++)
        if (same_span(w->held.at[i].span, symbol->span))
            return w->again;
    vec_push(&w->held, ((struct held){symbol->span,
                                      is_untouched(draft, symbol)}));
    w->again = true;
    return true;
}

bool wide_is_held(const struct draft *draft, uint32_t slot, bool *all)
{
    const struct symbol *symbol =
        slot < draft->uses.n ? draft->uses.at[slot].symbol : NULL;

    for (size_t i = 0; symbol && draft->widening &&
                       i < draft->widening->held.n;
         i++)
        if (same_span(draft->widening->held.at[i].span, symbol->span)) {
            *all = draft->widening->held.at[i].all;
            return true;
        }
    return false;
}

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
        if (sides[i]->op >= CODE_NEGATE && sides[i]->op <= CODE_MOD &&
            same_span(sides[i]->span, span))
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

struct code_expr *wide_value(struct env *env, struct code_expr *expr)
{
    struct code_expr *operand[MOST_OPERANDS], *any;
    bool compares = expr && expr->op >= CODE_EQ && expr->op <= CODE_GE;
    bool error;
    uint32_t n;

    if (!expr || env->text != TEXT_CONTROL || !env->draft->widening ||
        !is_open(env->draft->widening, expr->span) || !can_open(expr))
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
