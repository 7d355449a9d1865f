#include "check/rounding.h"

#include <stdlib.h>

#include "check/abstract.h"
#include "check/arith.h"
#include "check/controller.h"
#include "check/flow.h"
#include "check/rounded.h"

/* ---- expressions ---- */

/* Evaluated twice it gives the same and does nothing. */
static bool is_pure(const struct code_expr *expr)
{
    if (!expr)
        return true;
    if (expr->op == CODE_CALL || expr->op == CODE_ANY ||
        expr->op == CODE_ROUND || expr->site != CODE_NO_SITE ||
        expr->variable.n_steps)
        return false;
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (!is_pure(expr->args[i].value))
            return false;
    return is_pure(expr->left) && is_pure(expr->right);
}

/* How it may be rounded: from first on, count of them. */
struct ways {
    uint32_t first, count;
};

static struct ways ways_of(const struct draft *draft,
                           const struct code_expr *expr)
{
    const struct setting *setting = &draft->model->settings[SETTING_ROUNDING];

    if (!expr->asks)
        return (struct ways){expr->index, 1};
    return setting->any ? (struct ways){0, ROUNDINGS}
                        : (struct ways){setting->value, 1};
}

/* The same whichever way: becomes that number. */
static void fold(const struct draft *draft, struct code_expr *expr)
{
    struct ways ways = ways_of(draft, expr);
    struct rounded first, one;

    if (expr->left->op != CODE_CONST)
        return;
    first = rounded_of(type_base(expr->left->type), expr->left->value,
                        ways.first, expr->type);
    for (uint32_t i = 0; i < ways.count; i++) {
        one = rounded_of(type_base(expr->left->type), expr->left->value,
                          ways.first + i, expr->type);
        if (one.low != first.low || one.high != first.low)
            return;
    }
    expr->op = CODE_CONST;
    expr->value = first.low;
    expr->left = expr->right = NULL;
    expr->asks = false;
}

/* Too many numbers to look at each. */
enum { MOST_NUMBERS = DRAFT_MAX_VALUES / 4 };

struct code_expr *rounding_make(struct env *env, struct code_expr *value,
                                const struct type *to, bool cut,
                                const char *what)
{
    struct code_expr *any, *expr;

    abstract_settle(env->draft, value);
    any = abstract_any(env,
                       (struct open_place){.kind = OPEN_VALUE,
                                           .what = what,
                                           .type = to,
                                           .span = value->span},
                       &value, 1);
    if (!any || to->kind != TYPE_INTEGER ||
        type_base(value->type)->count > MOST_NUMBERS || !is_pure(value))
        return any;
    expr = arith_new(env->draft, CODE_ROUND, to, value->span);
    expr->left = value;
    expr->right = any;
    expr->asks = !cut && env->text == TEXT_CONTROL;
    expr->index = cut ? ROUNDING_CUT : ROUNDING_EVEN;
    if (expr->asks)
        controller_touch(env->draft, SETTING_ROUNDING);
    fold(env->draft, expr);
    return expr;
}

/* ---- cells ---- */

struct cells {
    VEC(int64_t) begin; /* of all but the first, ascending */
};

static int by_value(const void *a, const void *b)
{
    int64_t left = *(const int64_t *)a, right = *(const int64_t *)b;

    return (left > right) - (left < right);
}

static uint32_t cell_of(const struct cells *cells, int64_t value)
{
    size_t low = 0, high = cells->begin.n;

    while (low < high) {
        size_t middle = low + (high - low) / 2;

        if (cells->begin.at[middle] <= value)
            low = middle + 1;
        else
            high = middle;
    }
    return (uint32_t)low;
}

/* FALSE where each number of the class counts. */
static bool collect(const struct flow *flow, uint32_t class,
                    struct cells *cells)
{
    for (size_t i = 0; i < flow->spoilt.n; i++)
        if (flow_class(flow, flow->spoilt.at[i].node) == class)
            return false;
    for (size_t i = 0; i < flow->bits.n; i++)
        if (flow_class(flow, flow->bits.at[i].node) == class)
            return false;
    for (size_t i = 0; i < flow->cuts.n; i++)
        if (flow_class(flow, flow->cuts.at[i].node) == class)
            vec_push(&cells->begin, flow->cuts.at[i].cut);
    if (cells->begin.n > 0)
        qsort(cells->begin.at, cells->begin.n, sizeof *cells->begin.at,
              by_value);
    return true;
}

/* Do both come to the same cells, whichever way? */
static bool alike(const struct flow *flow, const struct code_expr *expr,
                  const struct cells *cells, int64_t value)
{
    const struct type *real = type_base(expr->left->type);
    struct ways ways = ways_of(flow->draft, expr);

    for (uint32_t i = 0; i < ways.count; i++) {
        struct rounded one = rounded_of(real, value, ways.first + i,
                                         expr->type);
        struct rounded next = rounded_of(real, value + 1, ways.first + i,
                                          expr->type);

        if (cell_of(cells, one.low) != cell_of(cells, next.low) ||
            cell_of(cells, one.high) != cell_of(cells, next.high))
            return false;
    }
    return true;
}

static void cut_for(struct flow *flow, const struct flow_rounding *rounding)
{
    struct flow_mark mark = {.node = rounding->node,
                             .span = rounding->expr->span};
    uint32_t class =
        flow_class(flow, flow_place(flow, rounding->expr->right->place));
    int64_t last = type_base(rounding->expr->left->type)->high;
    struct cells cells = {0};

    if (collect(flow, class, &cells)) {
        for (int64_t v = 0; v < last; v++) {
            mark.cut = v + 1;
            if (!alike(flow, rounding->expr, &cells, v))
                vec_push(&flow->cuts, mark);
        }
    } else {
        mark.cut = 1; /* no open value helps */
        vec_push(&flow->spoilt, mark);
    }
    vec_release(&cells.begin);
}

void rounding_cut(struct flow *flow)
{
    for (size_t i = 0; i < flow->rounded.n; i++)
        if (flow->rounded.at[i].node != MODEL_NONE)
            cut_for(flow, &flow->rounded.at[i]);
}
