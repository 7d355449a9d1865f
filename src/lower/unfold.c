#include "lower/unfold.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "lower/decided.h"
#include "lower/operate.h"
#include "lower/leaf.h"
#include "lower/leave.h"
#include "lower/loop.h"
#include "lower/setting.h"
#include "lower/builtin.h"
#include "lower/real.h"
#include "lower/spot.h"
#include "lower/term.h"
#include "lower/words.h"

/* The running POU: where its variables lie, and which slots its VAR_IN_OUT
 * stand for. */
struct frame {
    uint32_t base;
    const struct spot *in_out;
    uint32_t any; /* choice row at which its open places begin */
};

static flat_expr eval(struct sym *sym, const struct frame *frame,
                      const struct code_expr *expr);
static void run(struct sym *sym, const struct frame *frame,
                const struct code_stmt *stmts, uint32_t n);

static struct spot beginning(struct sym *sym, const struct frame *frame,
                              const struct code_variable *variable)
{
    switch (variable->base) {
    case CODE_LOCAL:
        return spot_of_slot(sym, frame->base + variable->index);
    case CODE_GLOBAL: return spot_of_slot(sym, variable->index);
    case CODE_IN_OUT:
        ENSURE(frame->in_out);
        return spot_behind(sym, frame->in_out[variable->index],
                            variable->offset);
    }
    ENSURE(!"a base");
    return spot_of_slot(sym, 0);
}

static struct spot spot_of(struct sym *sym, const struct frame *frame,
                             const struct code_variable *variable)
{
    struct spot spot = beginning(sym, frame, variable);
    for (uint32_t i = 0; i < variable->n_steps; i++)
        spot = spot_element(sym, spot, &variable->steps[i],
                              eval(sym, frame, variable->steps[i].value));
    return spot;
}

/* All values of the type that lie at the spot. */
static void store_all(struct sym *sym, struct spot spot,
                      const struct type *type, const flat_expr *values,
                      uint32_t site)
{
    for (uint32_t k = 0; k < type->size; k++) {
        if (site != CODE_NO_SITE)
            sym_raise(sym, site,
                      operate_outside(sym->builder, type, values[k]));
        spot_write(sym, spot, k, values[k]);
    }
}

static const flat_expr *read_all(struct sym *sym, struct spot spot,
                                 uint32_t size)
{
    flat_expr *values = arena_array(sym->arena, size, sizeof *values);
    for (uint32_t k = 0; k < size; k++)
        values[k] = spot_read(sym, spot, k, CODE_NOW);
    return values;
}

/* ---- calls ---- */

static void start_afresh(struct sym *sym, const struct code_pou *pou,
                         uint32_t base)
{
    for (uint32_t i = 0; i < pou->n_vars; i++) {
        const struct code_frame_var *var = &pou->vars[i];
        if (!var->temp && pou->kind != POU_FUNCTION)
            continue;
        for (uint32_t k = 0; k < code_var_size(var); k++) {
            uint32_t slot = base + var->offset + k;
            env_set(&sym->env, slot,
                    flat_const(sym->builder,
                               sym->model->slots[slot].initial));
        }
    }
}

static void copy_outputs(struct sym *sym, const struct frame *caller,
                         uint32_t base, const struct code_arg *args,
                         uint32_t n_args)
{
    for (uint32_t i = 0; i < n_args; i++) {
        if (args[i].kind != ARG_OUTPUT)
            continue;
        struct spot to = spot_of(sym, caller, &args[i].target);
        struct spot from = spot_of_slot(sym, base + args[i].parameter);
        const struct type *type = args[i].target_type;
        store_all(sym, to, type, read_all(sym, from, type->size),
                  args[i].site);
    }
}

struct call {
    const struct code_pou *pou;
    uint32_t base;
    const struct code_arg *args;
    uint32_t n_args;
    struct span span;
    uint32_t any;
};

static const flat_expr *eval_all(struct sym *sym, const struct frame *frame,
                                 const struct code_expr *expr);

static void store_inputs(struct sym *sym, const struct call *call,
                         const flat_expr *const *values)
{
    for (uint32_t i = 0; i < call->n_args; i++) {
        const struct code_arg *arg = &call->args[i];
        if (arg->kind == ARG_INPUT)
            store_all(sym, spot_of_slot(sym, call->base + arg->parameter),
                      arg->target_type, values[i], arg->site);
    }
}

static void run_call(struct sym *sym, const struct frame *caller,
                     const struct call *call)
{
    const struct code_pou *pou = call->pou;
    const flat_expr **values = arena_array(sym->arena, call->n_args,
                                           sizeof *values);
    struct spot *in_out = arena_array(sym->arena, pou->n_in_out,
                                       sizeof *in_out);
    for (uint32_t i = 0; i < call->n_args; i++) {
        const struct code_arg *arg = &call->args[i];
        if (arg->kind == ARG_INPUT)
            values[i] = eval_all(sym, caller, arg->value);
        else if (arg->kind == ARG_IN_OUT)
            in_out[arg->parameter] = spot_of(sym, caller, &arg->target);
    }
    start_afresh(sym, pou, call->base);
    store_inputs(sym, call, values);
    struct frame frame = {call->base, in_out, caller->any + call->any};
    if (pou->standard != STANDARD_NONE)
        builtin_call(sym, pou->standard, call->base, call->span);
    else
        run(sym, &frame, pou->body, pou->n_body);
    leave_end(sym, LEAVE_RETURN);
    copy_outputs(sym, caller, call->base, call->args, call->n_args);
}

static void call_function(struct sym *sym, const struct frame *frame,
                          const struct code_expr *expr)
{
    struct call call = {expr->pou, expr->pou->frame, expr->args,
                        expr->n_args, expr->span, expr->any};
    run_call(sym, frame, &call);
}

static flat_expr eval_call(struct sym *sym, const struct frame *frame,
                           const struct code_expr *expr)
{
    call_function(sym, frame, expr);
    return env_get(&sym->env, expr->pou->frame + expr->pou->result);
}

/* ---- expressions ---- */

static flat_expr eval_sensor(struct sym *sym, const struct code_expr *expr)
{
    static const struct frame none = {0, NULL, 0};
    ENSURE(expr->index < sym->model->n_sensors);
    const struct sensor *sensor = &sym->model->sensors[expr->index];
    return eval(sym, &none, expr->when == CODE_NOW
                                 ? sensor->on_when
                                 : sensor->on_when_previous);
}

/* How an open place comes out in this scan. */
static flat_expr open_row(struct sym *sym, const struct frame *frame,
                          const struct code_expr *expr)
{
    ENSURE(expr->any_known);
    return sym_choice(sym, expr->any_fixed ? expr->any
                                           : frame->any + expr->any);
}

static flat_expr eval_words(struct sym *sym, const struct frame *frame,
                            const struct code_expr *expr)
{
    flat_expr *operand = arena_array(sym->arena, expr->n_args + 2,
                                     sizeof *operand);
    for (uint32_t i = 0; i < expr->n_args; i++)
        operand[i] = eval(sym, frame, expr->args[i].value);
    if (expr->left)
        operand[0] = eval(sym, frame, expr->left);
    if (expr->right)
        operand[1] = eval(sym, frame, expr->right);
    if (expr->site != CODE_NO_SITE)
        sym_raise(sym, expr->site,
                  words_error(sym->builder, expr, operand));
    flat_expr value = words_value(sym->builder, expr, operand);
    if (expr->place == CODE_NO_SITE)
        return value;
    return real_picked(sym->builder, value, operand, expr->n_args,
                       open_row(sym, frame, expr));
}

static flat_expr eval_any(struct sym *sym, const struct frame *frame,
                          const struct code_expr *expr)
{
    for (uint32_t i = 0; i < expr->n_args; i++)
        eval(sym, frame, expr->args[i].value);
    return expr->place == CODE_NO_SITE ? flat_const(sym->builder, 0)
                                       : open_row(sym, frame, expr);
}

static flat_expr eval_rounded(struct sym *sym, const struct frame *frame,
                              const struct code_expr *expr)
{
    struct flat_builder *b = sym->builder;
    flat_expr real = eval(sym, frame, expr->left);
    flat_expr row = eval(sym, frame, expr->right), all;
    if (!expr->asks)
        return real_rounded(b, expr, expr->index, real, row);
    all = real_rounded(b, expr, ROUNDING_EVEN, real, row);
    for (uint32_t how = ROUNDING_EVEN + 1; how < ROUNDINGS; how++)
        all = flat_ite(b, setting_is(sym, SETTING_ROUNDING, how),
                       real_rounded(b, expr, how, real, row), all);
    return all;
}

static bool compares_reals(const struct code_expr *expr)
{
    return expr->op >= CODE_EQ && expr->op <= CODE_GE &&
           expr->left->type->kind == TYPE_REAL;
}

static flat_expr eval_operator(struct sym *sym, const struct frame *frame,
                               const struct code_expr *expr)
{
    const struct type *type;
    flat_expr left = eval(sym, frame, expr->left);
    flat_expr right = left;
    if (expr->op != CODE_NOT && expr->op != CODE_NEGATE)
        right = eval(sym, frame, expr->right);
    if (expr->turns)
        return setting_turned(sym, expr, left, right);
    if (compares_reals(expr))
        return real_compare(sym->builder, expr->op, left, right,
                            expr->place == CODE_NO_SITE
                                ? FLAT_NONE : open_row(sym, frame, expr));
    if (expr->site != CODE_NO_SITE)
        sym_raise(sym, expr->site,
                   operate_error(sym->builder, expr, left, right));
    if (expr->op >= CODE_LT && expr->op <= CODE_GE) {
        type = type_unsigned(expr->left->type) ? expr->left->type
                                               : expr->right->type;
        left = operate_order(sym->builder, type, left);
        right = operate_order(sym->builder, type, right);
    }
    return operate_value(sym->builder, expr->op, left, right);
}

/* The right side is run only where the left one leaves it open. */
static flat_expr eval_in_turn(struct sym *sym, const struct frame *frame,
                              const struct code_expr *expr)
{
    struct flat_builder *b = sym->builder;
    bool both = expr->op == CODE_AND_THEN;
    flat_expr left = eval(sym, frame, expr->left), right = left;
    flat_expr open = both ? left : flat_not(b, left);
    struct nest nest;

    if (expr->asks)
        open = term_or(b, open, setting_is(sym, SETTING_CONDITIONS, 0));
    nest_begin(sym, &nest);
    if (nest_enter(sym, &nest, open))
        right = eval(sym, frame, expr->right);
    nest_end(sym, &nest);
    return both ? term_and(b, left, right) : term_or(b, left, right);
}

static flat_expr value_of(struct sym *sym, const struct frame *frame,
                          const struct code_expr *expr)
{
    flat_expr value;
    if (leaf_other(sym, expr, &value))
        return value;
    if (words_are(expr->op))
        return eval_words(sym, frame, expr);
    switch (expr->op) {
    case CODE_VARIABLE:
        return spot_read(sym, spot_of(sym, frame, &expr->variable), 0,
                          expr->when);
    case CODE_SENSOR: return eval_sensor(sym, expr);
    case CODE_TRUE_FOR: return unfold_clock(sym, expr->index);
    case CODE_CALL: return eval_call(sym, frame, expr);
    case CODE_ANY: return eval_any(sym, frame, expr);
    case CODE_ROUND: return eval_rounded(sym, frame, expr);
    case CODE_AND_THEN:
    case CODE_OR_ELSE: return eval_in_turn(sym, frame, expr);
    default: return eval_operator(sym, frame, expr);
    }
}

static flat_expr eval(struct sym *sym, const struct frame *frame,
                      const struct code_expr *expr)
{
    const struct decision_part *part = decided_begin(sym, expr);
    flat_expr value = value_of(sym, frame, expr);
    decided_end(sym, part, value);
    return value;
}

/* The values of an expression of any type. */
static const flat_expr *eval_all(struct sym *sym, const struct frame *frame,
                                 const struct code_expr *expr)
{
    flat_expr *value;
    struct spot spot;
    if (type_elementary(expr->type)) {
        value = ARENA_NEW(sym->arena, flat_expr);
        *value = eval(sym, frame, expr);
        return value;
    }
    if (expr->op == CODE_CALL) {
        call_function(sym, frame, expr);
        spot = spot_of_slot(sym, expr->pou->frame + expr->pou->result);
    } else {
        ENSURE(expr->op == CODE_VARIABLE);
        spot = spot_of(sym, frame, &expr->variable);
    }
    return read_all(sym, spot, expr->type->size);
}

flat_expr unfold_expr(struct sym *sym, const struct code_expr *expr)
{
    static const struct frame none = {0, NULL, 0};
    return expr ? eval(sym, &none, expr) : term_false(sym->builder);
}

/* age := e ? (was ? age + elapsed : 0) : 0; was := e. */
flat_expr unfold_clock(struct sym *sym, uint32_t index)
{
    struct flat_builder *b = sym->builder;
    ENSURE(index < sym->model->n_clocks);
    const struct clock *clock = &sym->model->clocks[index];
    if (sym->clock_value[index] != FLAT_NONE)
        return sym->clock_value[index];
    flat_expr path = sym->path;
    sym->path = term_true(b);
    flat_expr held = unfold_expr(sym, clock->held);
    sym->path = path;
    struct kept age = sym->clock_age[index];
    int64_t cap = bounds_whole_scans(clock->limit.judged, sym->step);
    flat_expr zero = flat_const(b, 0);
    flat_expr grown = term_grown(b, age.before, sym->elapsed, cap);
    flat_expr on = term_and(b, held, sym->clock_was[index].before);
    flat_expr now = flat_ite(b, on, grown, zero);
    sym_keep(sym, age, now);
    sym_keep(sym, sym->clock_was[index], held);
    sym->clock_value[index] =
        term_and(b, held, term_reached(b, now, clock->limit.judged));
    return sym->clock_value[index];
}

/* ---- statements ---- */

/* A branch that was run and taken back.  What the conditions after it
 * change (a function with an output) belongs to its other side. */
struct arm {
    flat_expr condition;
    size_t mark; /* where it ran from */
    struct env_changes changes;
};

/* The first arm whose condition holds wins; with none nothing happens. */
static void merge_arms(struct sym *sym, const struct arm *arms, uint32_t n)
{
    while (n-- > 0)
        env_merge(&sym->env, arms[n].mark, arms[n].condition,
                  &arms[n].changes);
}

static void run_arm(struct sym *sym, const struct frame *frame,
                    const struct code_branch *branch, struct arm *arm)
{
    flat_expr path = sym->path;
    arm->mark = env_mark(&sym->env);
    sym->path = term_and(sym->builder, path, arm->condition);
    if (nest_leads_in(sym)) {
        sym_branch(sym, branch->branch);
        run(sym, frame, branch->body, branch->n_body);
    }
    arm->changes = env_take(&sym->env, arm->mark);
    sym->path = path;
}

static flat_expr label_matches(struct sym *sym, flat_expr value,
                               const struct code_label *label)
{
    struct flat_builder *b = sym->builder;
    if (label->low == label->high)
        return term_equals(b, value, label->low);
    flat_expr low = flat_const(b, label->low);
    flat_expr high = flat_const(b, label->high);
    return term_and(b, flat_binary(b, FLAT_LE, low, value),
                    flat_binary(b, FLAT_LE, value, high));
}

static flat_expr group_matches(struct sym *sym, flat_expr value,
                               const struct code_branch *branch)
{
    flat_expr any = term_false(sym->builder);
    if (branch->n_labels == 0)
        return term_true(sym->builder);
    for (uint32_t i = 0; i < branch->n_labels; i++)
        any = term_or(sym->builder, any,
                      label_matches(sym, value, &branch->labels[i]));
    return any;
}

/* What decides between the branches of a statement. */
static flat_expr decides(struct sym *sym, const struct frame *frame,
                         const struct code_stmt *stmt, uint32_t i,
                         flat_expr value)
{
    const struct code_branch *branch = &stmt->branches[i];
    if (stmt->kind == CODE_CASE)
        return group_matches(sym, value, branch);
    if (stmt->kind == CODE_MAY) {
        const struct choice *row = &sym->model->choices[stmt->choice];
        ENSURE(i + 1 < row->count);
        return term_equals(sym->builder, value, row->values[i + 1]);
    }
    return branch->condition ? eval(sym, frame, branch->condition)
                             : term_true(sym->builder);
}

static void run_branches(struct sym *sym, const struct frame *frame,
                         const struct code_stmt *stmt, flat_expr value)
{
    flat_expr path = sym->path;
    struct arm *arms = arena_array(sym->arena, stmt->n_branches,
                                   sizeof *arms);
    uint32_t n = 0;
    while (n < stmt->n_branches && nest_leads_in(sym)) {
        arms[n].condition = decides(sym, frame, stmt, n, value);
        run_arm(sym, frame, &stmt->branches[n], &arms[n]);
        sym->path = term_less(sym->builder, sym->path, arms[n].condition);
        n++;
    }
    sym->path = path;
    merge_arms(sym, arms, n);
}

/* The MAY is executed on this path; it moves when it is not declined. */
static void run_may(struct sym *sym, const struct frame *frame,
                    const struct code_stmt *stmt)
{
    struct flat_builder *b = sym->builder;
    const struct choice *row = &sym->model->choices[stmt->choice];
    flat_expr value = sym_choice(sym, stmt->choice);
    flat_expr declined = term_equals(b, value, row->values[0]);
    flat_expr *moved = &sym->moved[stmt->choice];
    flat_expr moves = term_less(b, sym->path, declined);
    *moved = *moved == FLAT_NONE ? moves : term_or(b, *moved, moves);
    run_branches(sym, frame, stmt, value);
}

static void invoke_at(struct sym *sym, const struct frame *frame,
                      const struct code_stmt *stmt, uint32_t base)
{
    struct call call = {stmt->pou, base, stmt->args, stmt->n_args,
                        stmt->span, stmt->any};
    run_call(sym, frame, &call);
}

/* Which instance is called may depend on an index: each is a branch. */
static void run_invoke(struct sym *sym, const struct frame *frame,
                       const struct code_stmt *stmt)
{
    struct spot spot = spot_of(sym, frame, &stmt->instance);
    flat_expr path = sym->path;
    struct arm *arms;
    if (spot.n == 1 && term_is(sym->builder, spot.at[0].when, 1)) {
        invoke_at(sym, frame, stmt, spot.at[0].slot);
        return;
    }
    arms = arena_array(sym->arena, spot.n, sizeof *arms);
    for (uint32_t i = 0; i < spot.n; i++) {
        arms[i].condition = spot.at[i].when;
        arms[i].mark = env_mark(&sym->env);
        sym->path = term_and(sym->builder, path, arms[i].condition);
        if (nest_leads_in(sym))
            invoke_at(sym, frame, stmt, spot.at[i].slot);
        arms[i].changes = env_take(&sym->env, arms[i].mark);
        sym->path = path;
    }
    merge_arms(sym, arms, spot.n);
}

static void run_assign(struct sym *sym, const struct frame *frame,
                       const struct code_stmt *stmt)
{
    const flat_expr *values = eval_all(sym, frame, stmt->value);
    store_all(sym, spot_of(sym, frame, &stmt->target), stmt->target_type,
              values, stmt->site);
}

static void assign(struct sym *sym, const struct frame *frame,
                   const struct code_stmt *stmt, flat_expr value)
{
    spot_write(sym, spot_of(sym, frame, &stmt->target), 0, value);
}

static void run_body(struct sym *sym, const struct frame *frame,
                     const struct code_branch *body)
{
    run(sym, frame, body->body, body->n_body);
}

static void run_loop(struct sym *sym, const struct frame *frame,
                     const struct code_stmt *stmt)
{
    struct frame inner = *frame;
    loop_unfold(&(struct loop_text){sym, &inner, eval, assign, run_body,
                                    &inner.any}, stmt);
}

static void run_one(struct sym *sym, const struct frame *frame,
                    const struct code_stmt *stmt)
{
    switch (stmt->kind) {
    case CODE_ASSIGN: run_assign(sym, frame, stmt); return;
    case CODE_INVOKE: run_invoke(sym, frame, stmt); return;
    case CODE_IF: run_branches(sym, frame, stmt, FLAT_NONE); return;
    case CODE_CASE:
        run_branches(sym, frame, stmt, eval(sym, frame, stmt->value));
        return;
    case CODE_MAY: run_may(sym, frame, stmt); return;
    case CODE_FOR:
    case CODE_WHILE:
    case CODE_REPEAT: run_loop(sym, frame, stmt); return;
    case CODE_EXIT: leave_now(sym, LEAVE_EXIT); return;
    case CODE_CONTINUE: leave_now(sym, LEAVE_CONTINUE); return;
    case CODE_RETURN: leave_now(sym, LEAVE_RETURN); return;
    }
    ENSURE(!"a statement");
}

static void run(struct sym *sym, const struct frame *frame,
                const struct code_stmt *stmts, uint32_t n)
{
    struct nest nest;
    bool stays = true;

    nest_begin(sym, &nest);
    for (uint32_t i = 0; i < n && stays && !sym_stops(sym); i++) {
        sym_stretch(sym, stmts[i].stretch);
        run_one(sym, frame, &stmts[i]);
        stays = i + 1 == n || leave_stay(sym, &nest);
    }
    nest_end(sym, &nest);
}

void unfold_body(struct sym *sym, const struct body *body)
{
    static const struct frame none = {0, NULL, 0};
    run(sym, &none, body->stmts, body->n_stmts);
}

void unfold_program(struct sym *sym, const struct program *program)
{
    struct frame frame = {program->frame, NULL, program->any};
    start_afresh(sym, program->pou, program->frame);
    run(sym, &frame, program->pou->body, program->pou->n_body);
    leave_end(sym, LEAVE_RETURN);
}
