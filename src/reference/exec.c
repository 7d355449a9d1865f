#include "reference/exec.h"

#include <string.h>

#include "base/ensure.h"
#include "reference/eval.h"
#include "reference/guards.h"
#include "reference/loop.h"
#include "reference/signal.h"
#include "reference/standard.h"
#include "reference/tracing.h"

static enum leaving run(struct scan *scan, const struct frame *frame,
                        const struct code_stmt *stmts, uint32_t n);

/* ---- storing ---- */

static void store(struct scan *scan, uint32_t slot, int64_t value,
                  const struct type *type, uint32_t site)
{
    if (scan->failed)
        return;
    if (value < type->low || value > type->high)
        scan_fail(scan, site);
    else
        signal_set_slot(scan, slot, value);
}

static void set_initial(struct scan *scan, uint32_t slot)
{
    signal_set_slot(scan, slot, scan->model->slots[slot].initial);
}

/* VAR_TEMP and everything of a function begin anew at each call. */
static void reset_temps(struct scan *scan, const struct code_pou *pou,
                        uint32_t base)
{
    for (uint32_t i = 0; i < pou->n_vars; i++) {
        const struct code_frame_var *var = &pou->vars[i];
        uint32_t size = var->pou ? var->pou->size : 1;

        if (!var->temp && pou->kind != POU_FUNCTION)
            continue;
        for (uint32_t k = 0; k < size; k++) {
            set_initial(scan, base + var->offset + k);
            tracing_event(scan, base + var->offset + k, TRACING_NO_NODE,
                          (struct trace_event){.kind = TRACE_INITIAL,
                                               .span = var->span});
        }
    }
}

/* ---- calls ---- */

/* One call on its way: who calls, who is called, with what. */
struct call {
    const struct frame *caller;
    const struct code_pou *pou;
    struct frame callee;
    struct span span;
};

static void pass_inputs(struct scan *scan, const struct call *call)
{
    const struct frame *callee = &call->callee;
    uint32_t stack = scan->n_args, top = stack;
    uint32_t depth = tracing_depth(scan), node = depth;

    for (uint32_t i = 0; i < callee->n_args; i++) {
        if (callee->args[i].kind != ARG_INPUT)
            continue;
        ENSURE(top < scan->layout->most_args);
        scan->n_args = top;
        scan->args[top++] = eval(scan, call->caller, callee->args[i].value);
    }
    scan->n_args = top = stack;
    if (scan->failed)
        return;
    reset_temps(scan, call->pou, callee->base);
    for (uint32_t i = 0; i < callee->n_args; i++) {
        const struct code_arg *arg = &callee->args[i];

        if (arg->kind != ARG_INPUT)
            continue;
        store(scan, callee->base + arg->parameter, scan->args[top++],
              arg->target_type, arg->site);
        tracing_event(scan, callee->base + arg->parameter, node++,
                      (struct trace_event){.kind = TRACE_ASSIGN,
                                           .span = arg->value->span,
                                           .pou = call->pou,
                                           .argument = true});
    }
    tracing_cut(scan, depth);
}

static void pass_outputs(struct scan *scan, const struct call *call)
{
    const struct frame *callee = &call->callee;

    for (uint32_t i = 0; i < callee->n_args && !scan->failed; i++) {
        const struct code_arg *arg = &callee->args[i];

        uint32_t from = callee->base + arg->parameter;

        if (arg->kind != ARG_OUTPUT)
            continue;
        store(scan, eval_slot(call->caller, arg->target),
              signal_slot(scan, from), arg->target_type, arg->site);
        tracing_event(scan, eval_slot(call->caller, arg->target),
                      TRACING_NO_NODE,
                      (struct trace_event){.kind = TRACE_ASSIGN,
                                           .span = call->span,
                                           .from = from});
    }
}

static void run_standard(struct scan *scan, const struct call *call)
{
    const struct code_pou *pou = call->pou;
    uint32_t base = call->callee.base;
    int64_t *frame = scan_now(scan, PLACE_SLOT, base);
    int64_t before[TIMER_SIZE];

    ENSURE(pou->size <= TIMER_SIZE);
    memcpy(before, frame, pou->size * sizeof *before);
    standard_call(pou->standard, frame);
    tracing_block(scan, pou, base, before, call->span);
}

static void run_call(struct scan *scan, const struct call *call)
{
    const struct code_pou *pou = call->pou;
    const struct trace_guard *outer = guards_now(scan);

    pass_inputs(scan, call);
    if (scan->failed)
        return;
    if (pou->standard != STANDARD_NONE)
        run_standard(scan, call);
    else
        run(scan, &call->callee, pou->body, pou->n_body);
    guards_back(scan, outer);
    pass_outputs(scan, call);
}

static int64_t call_function(struct scan *scan, const struct frame *frame,
                             const struct code_expr *expr)
{
    const struct call call = {
        .caller = frame,
        .pou = expr->pou,
        .callee = {expr->pou->frame, expr->args, expr->n_args, frame},
        .span = expr->span,
    };

    run_call(scan, &call);
    if (scan->failed)
        return 0;
    return signal_slot(scan, expr->pou->frame + expr->pou->result);
}

static void invoke(struct scan *scan, const struct frame *frame,
                   const struct code_stmt *stmt)
{
    uint32_t base = stmt->instance_global ? stmt->instance
                                          : frame->base + stmt->instance;
    const struct call call = {
        .caller = frame,
        .pou = stmt->pou,
        .callee = {base, stmt->args, stmt->n_args, frame},
        .span = stmt->span,
    };

    run_call(scan, &call);
}

/* ---- branching ---- */

/* The conditions that were asked for lie on the observer's stack from depth
 * on.  A branch that can lead away decides about all that stands behind. */
static enum leaving take(struct scan *scan, const struct frame *frame,
                         const struct code_stmt *stmt, uint32_t taken,
                         uint32_t depth)
{
    const struct trace_guard *outer =
        guards_enter(scan, frame->base, stmt, taken, depth);
    enum leaving leaving = STAYED;

    if (taken < stmt->n_branches) {
        const struct code_branch *branch = &stmt->branches[taken];

        if (branch->branch != CODE_NO_SITE) {
            ENSURE(branch->branch < scan->model->n_branches);
            scan->branch[branch->branch] = true;
        }
        leaving = run(scan, frame, branch->body, branch->n_body);
    }
    if (!stmt->leaves)
        guards_back(scan, outer);
    return leaving;
}

static enum leaving run_if(struct scan *scan, const struct frame *frame,
                           const struct code_stmt *stmt)
{
    uint32_t depth = tracing_depth(scan);

    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        bool taken = eval(scan, frame, stmt->branches[i].condition);

        if (scan->failed)
            return STAYED;
        if (taken)
            return take(scan, frame, stmt, i, depth);
    }
    return take(scan, frame, stmt, stmt->n_branches, depth);
}

static bool labelled(const struct code_branch *branch, int64_t value)
{
    for (uint32_t i = 0; i < branch->n_labels; i++)
        if (value >= branch->labels[i].low && value <= branch->labels[i].high)
            return true;
    return branch->n_labels == 0;
}

static enum leaving run_case(struct scan *scan, const struct frame *frame,
                             const struct code_stmt *stmt)
{
    uint32_t depth = tracing_depth(scan);
    int64_t value = eval(scan, frame, stmt->value);

    if (scan->failed)
        return STAYED;
    for (uint32_t i = 0; i < stmt->n_branches; i++)
        if (labelled(&stmt->branches[i], value))
            return take(scan, frame, stmt, i, depth);
    return take(scan, frame, stmt, stmt->n_branches, depth);
}

static enum leaving run_may(struct scan *scan, const struct frame *frame,
                            const struct code_stmt *stmt)
{
    uint32_t index = scan_choice(scan, stmt->choice);
    uint32_t depth = tracing_depth(scan);

    if (index == 0)
        return take(scan, frame, stmt, stmt->n_branches, depth);
    ENSURE(index <= stmt->n_branches);
    scan->moved[stmt->choice] = true;
    return take(scan, frame, stmt, index - 1, depth);
}

static void assign(struct scan *scan, const struct frame *frame,
                   const struct code_stmt *stmt)
{
    uint32_t depth = tracing_depth(scan);
    int64_t value = eval(scan, frame, stmt->value);

    store(scan, eval_slot(frame, stmt->target), value, stmt->target_type,
          stmt->site);
    tracing_event(scan, eval_slot(frame, stmt->target), depth,
                  (struct trace_event){.kind = TRACE_ASSIGN,
                                       .span = stmt->span});
    tracing_cut(scan, depth);
}

static enum leaving leave(struct scan *scan, const struct code_stmt *stmt)
{
    guards_leave(scan, stmt);
    return stmt->kind == CODE_EXIT       ? LEFT_LOOP
           : stmt->kind == CODE_CONTINUE ? LEFT_PASS
                                         : LEFT_POU;
}

static enum leaving run_one(struct scan *scan, const struct frame *frame,
                            const struct code_stmt *stmt)
{
    switch (stmt->kind) {
    case CODE_ASSIGN:
        assign(scan, frame, stmt);
        return STAYED;
    case CODE_INVOKE:
        invoke(scan, frame, stmt);
        return STAYED;
    case CODE_IF: return run_if(scan, frame, stmt);
    case CODE_CASE: return run_case(scan, frame, stmt);
    case CODE_MAY: return run_may(scan, frame, stmt);
    case CODE_FOR:
    case CODE_WHILE:
    case CODE_REPEAT: return loop_run(scan, frame, stmt, run);
    case CODE_EXIT:
    case CODE_CONTINUE:
    case CODE_RETURN: return leave(scan, stmt);
    }
    ENSURE(!"a statement");
    return STAYED;
}

static enum leaving run(struct scan *scan, const struct frame *frame,
                        const struct code_stmt *stmts, uint32_t n)
{
    enum leaving leaving = STAYED;

    for (uint32_t i = 0; i < n && !scan->failed && leaving == STAYED; i++)
        leaving = run_one(scan, frame, &stmts[i]);
    return leaving;
}

/* ---- whole texts ---- */

void exec_init(struct scan *scan)
{
    scan->call = call_function;
}

void exec_program(struct scan *scan, const struct program *program)
{
    const struct frame frame = {.base = program->frame};

    reset_temps(scan, program->pou, program->frame);
    run(scan, &frame, program->pou->body, program->pou->n_body);
    guards_back(scan, NULL);
}

void exec_body(struct scan *scan, const struct body *body)
{
    const struct frame frame = {0};

    run(scan, &frame, body->stmts, body->n_stmts);
    guards_back(scan, NULL);
}
