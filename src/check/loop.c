#include "check/loop.h"

#include <inttypes.h>

#include "check/abstract.h"
#include "check/arith.h"
#include "check/controller.h"
#include "check/expr.h"
#include "check/extent.h"
#include "check/loose.h"
#include "check/target.h"
#include "check/typing.h"
#include "check/widening.h"
#include "check/written.h"

enum { MOST_EXACT = 10000, MOST_PASSES = 1000, FEW_PASSES = 8 };

typedef __int128 wide;

static bool refuse(struct env *env, struct span span, const char *hint,
                   const char *message)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "%s", message);
    return false;
}

/* ---- how many passes ---- */

/* Is it followed for a few passes only, though it may end behind them? */
static bool is_cut(const struct env *env, const struct code_loop *loop)
{
    return loop->open ||
           (loop->passes == FEW_PASSES &&
            (widening_is_short(env->draft, loop->head) ||
             (loop->to && widening_has(env->draft, loop->to->span))));
}

static uint32_t loop_site(struct env *env, const struct code_loop *loop)
{
    uint32_t site = draft_site(env->draft, ERROR_LOOP,
                               env->text != TEXT_CONTROL, loop->head);

    env->draft->errors.at[site].passes = loop->passes;
    env->draft->errors.at[site].cut = is_cut(env, loop);
    return site;
}

static int64_t step_of(const struct code_loop *loop)
{
    return !loop->by                      ? 1
           : loop->by->op == CODE_CONST ? loop->by->value
                                          : 0;
}

static wide passes_over(wide far, wide step)
{
    return far < 0 ? 0 : far / step + 1;
}

/* The most passes that bounds and step allow, as long as nothing else writes
 * the control variable; a step of 0 is an error before the first. */
static wide allowed(const struct code_stmt *stmt, const struct code_loop *loop)
{
    int64_t from_low, from_high, to_low, to_high, low = 1, high = 1;
    wide up = 0, down = 0;

    extent_find(stmt->value, &from_low, &from_high);
    extent_find(loop->to, &to_low, &to_high);
    if (loop->by)
        extent_find(loop->by, &low, &high);
    if (high > 0)
        up = passes_over((wide)to_high - from_low, low > 0 ? low : 1);
    if (low < 0)
        down = passes_over((wide)from_high - to_low,
                           high < 0 ? -(wide)high : 1);
    return up > down ? up : down;
}

static bool is_exact(const struct code_stmt *stmt,
                     const struct code_loop *loop)
{
    return stmt->value->op == CODE_CONST && loop->to->op == CODE_CONST &&
           step_of(loop) != 0;
}

/* Can nothing but the loop itself write its control variable?  Another text
 * or an alias would have to. */
static bool is_own(const struct code_stmt *stmt)
{
    return stmt->target.base == CODE_LOCAL;
}

/* Of a loop of which nobody knows how often it runs.  Where each pass leaves
 * values open, the ways through it multiply. */
static uint32_t most_passes(const struct env *env, struct span head)
{
    return widening_is_short(env->draft, head) ? FEW_PASSES : MOST_PASSES;
}

static bool count_passes(struct env *env, struct code_stmt *out,
                         struct code_loop *loop)
{
    wide most = allowed(out, loop);
    bool known = most <= (widening_has(env->draft, loop->to->span)
                              ? FEW_PASSES : MOST_PASSES);

    loop->passes = known ? (uint32_t)most
                   : widening_has(env->draft, loop->to->span)
                       ? FEW_PASSES
                       : most_passes(env, loop->head);
    if (is_exact(out, loop)) {
        if (most > MOST_EXACT) {
            diag_add(env->draft->diags, DIAG_ERROR, loop->head,
                     "spread the work over several scans, or write smaller "
                     "bounds",
                     "this loop makes more than %d passes in one scan",
                     MOST_EXACT);
            return false;
        }
        loop->passes = (uint32_t)most;
        known = true;
    }
    if (!known || !is_own(out))
        out->site = loop_site(env, loop);
    return true;
}

/* Behind the last pass the variable stands up to one step beyond `to`. */
static void count_site(struct env *env, const struct code_stmt *out,
                       struct code_loop *loop)
{
    int64_t to_low, to_high, step = step_of(loop);
    const struct type *type = out->target_type;
    bool fits = false;

    extent_find(loop->to, &to_low, &to_high);
    if (step > 0)
        fits = (wide)to_high + step <= type->high;
    else if (step < 0)
        fits = (wide)to_low + step >= type->low;
    if (!fits || !is_own(out))
        loop->count_site = draft_site(env->draft, ERROR_COUNT,
                                      env->text != TEXT_CONTROL, loop->head);
}

/* ---- FOR ---- */

static struct code_expr *number(struct env *env, const struct tree_expr *tree,
                                const struct type *type)
{
    struct code_expr *value = expr_check(env, tree, type);

    if (!value)
        return NULL;
    loose_number(env, value);
    if (value->type->kind != TYPE_INTEGER) {
        refuse(env, tree->span, "write a whole number",
               "start, end and step of FOR are whole numbers");
        return NULL;
    }
    if (value->type == env->draft->types.literal && value->op == CODE_CONST &&
        value->value >= type_base(type)->low &&
        value->value <= type_base(type)->high)
        value->type = type_base(type);
    arith_settle(env->draft, value);
    return value;
}

static bool step(struct env *env, const struct tree_stmt *tree,
                 struct code_loop *loop, const struct type *type)
{
    int64_t low, high;

    if (!tree->by)
        return true;
    loop->by = number(env, tree->by, type);
    if (!loop->by)
        return false;
    extent_find(loop->by, &low, &high);
    if (low == 0 && high == 0)
        return refuse(env, tree->by->span,
                      "write a step above or below 0, or leave BY out",
                      "with a step of 0 this loop does not end");
    if (low <= 0 && high >= 0)
        loop->step_site = draft_site(env->draft, ERROR_STEP,
                                     env->text != TEXT_CONTROL,
                                     tree->by->span);
    return true;
}

static const struct code_expr *reading_of(struct env *env,
                                          const struct code_stmt *out,
                                          struct span span)
{
    struct code_expr *counter =
        arith_new(env->draft, CODE_VARIABLE, out->target_type, span);

    counter->variable = out->target;
    return counter;
}

static bool counter(struct env *env, const struct tree_stmt *tree,
                    struct code_stmt *out, struct code_loop *loop)
{
    struct found found;

    if (!target_resolve(env, tree->target, &found))
        return false;
    if (found.type->kind != TYPE_INTEGER)
        return refuse(env, tree->target->span,
                      "count with a variable of an integer type",
                      "the control variable of FOR is a whole number");
    if (found.variable.n_steps)
        return refuse(env, tree->target->span,
                      "count with a variable of its own",
                      "the control variable of FOR does not depend on an "
                      "index");
    out->target = found.variable;
    out->target_type = found.type;
    target_note_read(env, found.variable, found.type, tree->target->span);
    loop->counter = reading_of(env, out, tree->target->span);
    return true;
}

/* ---- ends that are left open (wide.h) ---- */

static struct code_expr *any_number(struct env *env, struct code_loop *loop,
                                    const struct type *type,
                                    struct code_expr *const *made_of,
                                    uint32_t n)
{
    struct open_place place = {.kind = OPEN_VALUE,
                               .what = draft_words(env->draft, loop->head),
                               .type = type,
                               .apart = true,
                               .span = loop->head};

    return abstract_any(env, place, made_of, n);
}

static int64_t within(wide value, int64_t low, int64_t high)
{
    return value < low ? low : value > high ? high : (int64_t)value;
}

/* Any end, from one that allows no pass to one that allows a pass too many:
 * what lies beyond makes no other passes.  False: the begin or the step is
 * not known well enough for that. */
static bool near_end(struct env *env, struct code_stmt *out,
                     struct code_loop *loop, bool *good)
{
    int64_t step = step_of(loop), low, high, to_low, to_high;
    struct code_expr *to = (struct code_expr *)loop->to;
    wide far = (wide)step * FEW_PASSES;

    extent_find(out->value, &low, &high);
    extent_find(to, &to_low, &to_high);
    if (!step || (wide)high - low >= DRAFT_MAX_VALUES)
        return false;
    loop->to = any_number(
        env, loop,
        written_subrange(
            env->draft, env->draft->types.lint,
            within(step > 0 ? (wide)low - 1 : low + far, to_low, to_high),
            within(step > 0 ? high + far : (wide)high + 1, to_low, to_high)),
        &to, 1);
    *good = loop->to != NULL;
    if (*good)
        ((struct code_expr *)loop->to)->span = to->span;
    return true;
}

/* All that the control variable can be, one step beyond the end included. */
static const struct type *reach_of(struct env *env,
                                   const struct code_stmt *out,
                                   const struct code_loop *loop)
{
    const struct type *type = out->target_type;
    int64_t from_low, from_high, to_low, to_high, low = 1, high = 1;

    extent_find(out->value, &from_low, &from_high);
    extent_find(loop->to, &to_low, &to_high);
    if (loop->by)
        extent_find(loop->by, &low, &high);
    return written_subrange(
        env->draft, type_base(type),
        within((wide)(low < 0 && to_low < from_low ? to_low : from_low) +
                   (low < 0 ? low : 0), type->low, type->high),
        within((wide)(high > 0 && to_high > from_high ? to_high
                                                       : from_high) +
                   (high > 0 ? high : 0), type->low, type->high));
}

/* Any number of passes, and in each of them any value of the control
 * variable: REPEAT variable := any; IF any THEN EXIT; ELSE body. */
static bool any_passes(struct env *env, struct code_stmt *out,
                       struct code_loop *loop)
{
    struct code_expr *made_of[3] = {(struct code_expr *)out->value,
                                    (struct code_expr *)loop->to,
                                    (struct code_expr *)loop->by};
    struct code_stmt *rows = arena_array(env->draft->arena, 2, sizeof *rows);

    rows[0] = (struct code_stmt){
        .kind = CODE_ASSIGN, .span = loop->head, .target = out->target,
        .target_type = out->target_type, .site = CODE_NO_SITE,
        .choice = MODEL_NONE,
        .value = any_number(env, loop, reach_of(env, out, loop), made_of,
                            loop->by ? 3 : 2)};
    rows[1] = (struct code_stmt){
        .kind = CODE_IF, .span = loop->head, .site = CODE_NO_SITE,
        .choice = MODEL_NONE, .leaves = LEAVES_LOOP,
        .value = any_number(env, loop, env->draft->types.boolean, NULL, 0)};
    loop->open = rows;
    loop->passes = FEW_PASSES + 1;
    return rows[0].value && rows[1].value;
}

/* Is this a loop of which an end is to be left open? */
static bool opened(struct env *env, struct code_stmt *out,
                   struct code_loop *loop, bool *good)
{
    const struct draft *draft = env->draft;
    bool by = loop->by && widening_has(draft, loop->by->span);
    bool from = out->value->op != CODE_CONST &&
                widening_has(draft, loop->head);

    *good = true;
    if (env->text != TEXT_CONTROL ||
        (!by && !from && !widening_has(draft, loop->to->span)))
        return false;
    if (!by && !from && near_end(env, out, loop, good))
        return false;
    *good = *good && any_passes(env, out, loop);
    return true;
}

static bool for_head(struct env *env, const struct tree_stmt *tree,
                     struct code_stmt *out, struct code_loop *loop)
{
    struct code_expr *from, *to;
    bool good;

    if (!counter(env, tree, out, loop))
        return false;
    from = number(env, tree->value, out->target_type);
    to = number(env, tree->to, out->target_type);
    out->value = from;
    loop->to = to;
    if (!from || !to || !step(env, tree, loop, out->target_type))
        return false;
    if (opened(env, out, loop, &good) || !good)
        return good;
    return arith_store(env, from, out->target_type, &loop->start_site) &&
           count_passes(env, out, loop);
}

static struct code_branch *branch_new(struct env *env, uint32_t n,
                                      struct span span)
{
    struct code_branch *rows =
        arena_array(env->draft->arena, n, sizeof *rows);

    for (uint32_t i = 0; i < n; i++) {
        rows[i].span = span;
        rows[i].branch = CODE_NO_SITE;
    }
    return rows;
}

/* The body goes behind ELSE. */
static void wrap(struct env *env, struct code_stmt *out,
                 struct code_loop *loop)
{
    struct code_stmt *rows = loop->open;
    struct code_stmt *leave = ARENA_NEW(env->draft->arena, struct code_stmt);
    struct code_branch *inner = branch_new(env, 2, loop->head);
    struct code_branch *outer = branch_new(env, 1, loop->head);

    *leave = (struct code_stmt){
        .kind = CODE_EXIT, .span = loop->head, .site = CODE_NO_SITE,
        .choice = MODEL_NONE, .leaves = LEAVES_LOOP, .loop = loop};
    inner[0].condition = rows[1].value;
    inner[0].body = leave;
    inner[0].n_body = 1;
    inner[1] = out->branches[0];
    rows[1].value = NULL;
    rows[1].branches = inner;
    rows[1].n_branches = 2;
    for (uint32_t i = 0; i < inner[1].n_body; i++)
        rows[1].leaves |= inner[1].body[i].leaves;
    outer[0].body = rows;
    outer[0].n_body = 2;
    out->branches = outer;
    out->kind = CODE_REPEAT;
    out->value = arith_constant(env->draft, env->draft->types.boolean, 0,
                                loop->head);
    loop->counter = loop->to = loop->by = NULL;
    loop->asks = false;
}

/* ---- ends that change ---- */

static bool reads(const struct code_expr *expr, struct code_variable variable)
{
    if (!expr)
        return false;
    if (expr->op == CODE_VARIABLE && expr->variable.base == variable.base &&
        expr->variable.index == variable.index)
        return true;
    return reads(expr->left, variable) || reads(expr->right, variable);
}

static void advise(struct env *env, const struct code_loop *loop,
                   struct code_variable variable, struct span span)
{
    if (!reads(loop->to, variable) && !reads(loop->by, variable))
        return;
    diag_add(env->draft->diags, DIAG_WARNING, span,
             "count to a copy of it: some controllers look at it anew "
             "before each pass",
             "the end or step of this loop changes in it; the loop goes on "
             "as it began");
    diag_also(env->draft->diags, loop->head, "this is the loop");
}

static void advise_all(struct env *env, const struct code_loop *loop,
                       const struct code_stmt *stmts, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        const struct code_stmt *stmt = &stmts[i];

        if (stmt->kind == CODE_ASSIGN || stmt->kind == CODE_FOR)
            advise(env, loop, stmt->target, stmt->span);
        for (uint32_t k = 0; k < stmt->n_args; k++)
            if (stmt->args[k].kind != ARG_INPUT)
                advise(env, loop, stmt->args[k].target, stmt->span);
        for (uint32_t k = 0; k < stmt->n_branches; k++)
            advise_all(env, loop, stmt->branches[k].body,
                       stmt->branches[k].n_body);
    }
}

/* ---- all loops ---- */

bool loop_begin(struct env *env, const struct tree_stmt *tree,
                struct code_stmt *out, struct env_loop *around)
{
    struct code_loop *loop = ARENA_NEW(env->draft->arena, struct code_loop);
    bool good;

    loop->stmt = out;
    loop->head = tree->branches.first->span;
    loop->start_site = loop->step_site = loop->count_site = CODE_NO_SITE;
    loop->passes = most_passes(env, loop->head);
    out->loop = loop;
    out->kind = tree->kind == TREE_FOR     ? CODE_FOR
                : tree->kind == TREE_WHILE ? CODE_WHILE
                                           : CODE_REPEAT;
    if (tree->kind == TREE_FOR && env->text == TEXT_CONTROL)
        controller_touch(env->draft, SETTING_LOOPS);
    loop->asks = tree->kind == TREE_FOR && env->text == TEXT_CONTROL &&
                 (env->draft->model->settings[SETTING_LOOPS].any ||
                  env->draft->model->settings[SETTING_LOOPS].value != 0);
    if (tree->kind == TREE_FOR) {
        good = for_head(env, tree, out, loop);
    } else {
        out->value = expr_condition(env, tree->value);
        good = out->value != NULL;
    }
    *around = (struct env_loop){env->loop, loop,
                                good && tree->kind == TREE_FOR ? &out->target
                                                               : NULL,
                                loop->head};
    return good;
}

void loop_end(struct env *env, struct code_stmt *out)
{
    struct code_loop *loop = (struct code_loop *)out->loop;

    if (out->kind == CODE_FOR)
        advise_all(env, loop, out->branches[0].body, out->branches[0].n_body);
    if (loop->open)
        wrap(env, out, loop);
    if (out->kind == CODE_FOR) {
        count_site(env, out, loop);
    } else {
        out->site = loop_site(env, loop);
    }
}

bool loop_leave(struct env *env, const struct tree_stmt *tree,
                struct code_stmt *out)
{
    bool exits = tree->kind == TREE_EXIT;

    if (tree->kind == TREE_RETURN) {
        out->kind = CODE_RETURN;
        out->leaves = LEAVES_POU;
        if (env->text != TEXT_CONTROL)
            return refuse(env, tree->span, "put what follows under an IF",
                          "RETURN leaves a POU of the control text; a text "
                          "of the review has none");
        out->pou = env->unit->pou;
        return true;
    }
    out->kind = exits ? CODE_EXIT : CODE_CONTINUE;
    out->leaves = LEAVES_LOOP;
    if (!env->loop)
        return refuse(env, tree->span,
                      "move it into the FOR, WHILE or REPEAT that it is "
                      "meant for; RETURN leaves the whole POU",
                      exits ? "EXIT stands in no loop"
                            : "CONTINUE stands in no loop");
    out->loop = env->loop->loop;
    return true;
}
