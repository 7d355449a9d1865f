#include "reference/exec.h"

#include <string.h>

#include "base/ensure.h"
#include "reference/eval.h"
#include "reference/guards.h"
#include "reference/loop.h"
#include "reference/maker.h"
#include "reference/relay.h"
#include "reference/signal.h"
#include "reference/standard.h"
#include "reference/tracing.h"

static enum leaving run(struct scan *scan, const struct frame *frame,
                        const struct code_stmt *stmts, uint32_t n);

/* ---- storing ---- */

/* What comes in from outside is free because the checker found no text that
 * assigns it: were one to do so all the same, all verdicts would be void. */
static void store(struct scan *scan, uint32_t slot, int64_t value,
                  const struct type *type, uint32_t site)
{
    const struct slot *row = &scan->model->slots[slot];

    if (scan->failed)
        return;
    ENSURE(!row->input || row->driver == DRIVER_WIRING);
    if (type_elementary(type) && (value < type->low || value > type->high))
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
        uint32_t size = code_var_size(var);

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
    const struct code_arg *args;
    uint32_t n_args;
    struct span span;
};

/* On the stack lie the places of the VAR_IN_OUT, then for each input in
 * order where its values are copied from, and the values. */
static void look_up(struct scan *scan, const struct call *call)
{
    uint32_t stack = scan->n_args, top = stack + call->pou->n_in_out;

    for (uint32_t i = 0; i < call->n_args && !scan->failed; i++) {
        const struct code_arg *arg = &call->args[i];
        uint32_t depth = tracing_depth(scan);

        ENSURE(top <= scan->layout->most_args);
        scan->n_args = top;
        if (arg->kind == ARG_IN_OUT) {
            scan->args[stack + arg->parameter] =
                eval_place(scan, call->caller, &arg->target);
            tracing_cut(scan, depth);
        } else if (arg->kind == ARG_INPUT) {
            uint32_t at = top, from;

            top += 1 + arg->target_type->size;
            ENSURE(top <= scan->layout->most_args);
            scan->n_args = top;
            eval_all(scan, call->caller, arg->value, scan->args + at + 1,
                     &from);
            scan->args[at] = from;
        }
    }
    scan->n_args = stack;
}

/* Passes on one input to the slots from event.index on; its node lies on
 * the stack at depth. */
static void pass_input(struct scan *scan, const struct code_arg *arg,
                       const int64_t *values, struct trace_event event,
                       uint32_t depth)
{
    uint32_t slot = event.index;

    for (uint32_t k = 0; k < arg->target_type->size; k++) {
        store(scan, slot + k, values[k], arg->target_type, arg->site);
        tracing_event(scan, slot + k, depth, event);
        event.from += event.from != MODEL_NONE;
    }
}

static void pass_inputs(struct scan *scan, const struct call *call)
{
    uint32_t depth = tracing_depth(scan), node = depth;
    const int64_t *values =
        scan->args + scan->n_args + call->pou->n_in_out;

    look_up(scan, call);
    if (scan->failed)
        return;
    reset_temps(scan, call->pou, call->callee.base);
    for (uint32_t i = 0; i < call->n_args; i++) {
        const struct code_arg *arg = &call->args[i];
        uint32_t from;

        if (arg->kind != ARG_INPUT)
            continue;
        from = (uint32_t)*values++;
        pass_input(scan, arg, values,
                   (struct trace_event){.kind = TRACE_ASSIGN,
                                        .index = call->callee.base +
                                                 arg->parameter,
                                        .span = arg->value->span,
                                        .pou = call->pou,
                                        .from = from,
                                        .argument = true},
                   from == MODEL_NONE ? node++ : TRACING_NO_NODE);
        values += arg->target_type->size;
    }
    tracing_cut(scan, depth);
}

static void pass_outputs(struct scan *scan, const struct call *call)
{
    for (uint32_t i = 0; i < call->n_args && !scan->failed; i++) {
        const struct code_arg *arg = &call->args[i];
        uint32_t from = call->callee.base + arg->parameter;
        uint32_t depth = tracing_depth(scan), to;

        if (arg->kind != ARG_OUTPUT)
            continue;
        to = eval_place(scan, call->caller, &arg->target);
        tracing_cut(scan, depth);
        for (uint32_t k = 0; k < arg->target_type->size; k++) {
            store(scan, to + k, signal_slot(scan, from + k),
                  arg->target_type, arg->site);
            tracing_event(scan, to + k, TRACING_NO_NODE,
                          (struct trace_event){.kind = TRACE_ASSIGN,
                                               .span = call->span,
                                               .from = from + k});
            relay_stored(scan, to + k);
        }
    }
}

static void run_standard(struct scan *scan, const struct call *call)
{
    const struct code_pou *pou = call->pou;
    uint32_t base = call->callee.base;
    int64_t *frame = scan_now(scan, PLACE_SLOT, base);
    int64_t before[STANDARD_MOST_SIZE];
    struct maker maker = maker_of(scan, base);

    ENSURE(pou->size <= STANDARD_MOST_SIZE);
    memcpy(before, frame, pou->size * sizeof *before);
    if (pou->standard >= STANDARD_CTU)
        standard_count(pou, frame, &maker);
    else
        standard_call(pou->standard, frame, &maker);
    tracing_block(scan, pou, base, before, call->span);
}

static void run_call(struct scan *scan, struct call *call)
{
    const struct code_pou *pou = call->pou;
    const struct trace_guard *outer = guards_now(scan);
    uint32_t stack = scan->n_args;

    call->callee.in_out = scan->args + stack;
    pass_inputs(scan, call);
    if (scan->failed)
        return;
    scan->n_args = stack + pou->n_in_out;
    if (pou->standard != STANDARD_NONE)
        run_standard(scan, call);
    else
        run(scan, &call->callee, pou->body, pou->n_body);
    guards_back(scan, outer);
    scan->n_args = stack;
    pass_outputs(scan, call);
}

static int64_t call_function(struct scan *scan, const struct frame *frame,
                             const struct code_expr *expr)
{
    struct call call = {
        .caller = frame,
        .pou = expr->pou,
        .callee = {.base = expr->pou->frame,
                   .any = frame->any + expr->any},
        .args = expr->args,
        .n_args = expr->n_args,
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
    uint32_t depth = tracing_depth(scan);
    struct call call = {
        .caller = frame,
        .pou = stmt->pou,
        .callee = {.base = eval_place(scan, frame, &stmt->instance),
                   .any = frame->any + stmt->any},
        .args = stmt->args,
        .n_args = stmt->n_args,
        .span = stmt->span,
    };

    tracing_cut(scan, depth);
    if (!scan->failed)
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

/* The place is looked up when the value is known. */
static void assign_one(struct scan *scan, const struct frame *frame,
                       const struct code_stmt *stmt)
{
    uint32_t depth = tracing_depth(scan);
    int64_t value = eval(scan, frame, stmt->value);
    uint32_t slot = scan->failed
                        ? 0 : eval_place(scan, frame, &stmt->target);

    store(scan, slot, value, stmt->target_type, stmt->site);
    tracing_event(scan, slot, depth,
                  (struct trace_event){.kind = TRACE_ASSIGN,
                                       .span = stmt->span,
                                       .n_indices = stmt->target.n_steps});
    tracing_cut(scan, depth);
    relay_stored(scan, slot);
}

static void assign_all(struct scan *scan, const struct frame *frame,
                       const struct code_stmt *stmt)
{
    uint32_t depth = tracing_depth(scan), size = stmt->target_type->size;
    uint32_t stack = scan->n_args, from, to;

    ENSURE(stack + size <= scan->layout->most_args);
    scan->n_args += size;
    eval_all(scan, frame, stmt->value, scan->args + stack, &from);
    to = scan->failed ? 0 : eval_place(scan, frame, &stmt->target);
    scan->n_args = stack;
    tracing_cut(scan, depth);
    for (uint32_t k = 0; k < size && !scan->failed; k++) {
        store(scan, to + k, scan->args[stack + k], stmt->target_type,
              stmt->site);
        tracing_event(scan, to + k, TRACING_NO_NODE,
                      (struct trace_event){.kind = TRACE_ASSIGN,
                                           .span = stmt->span,
                                           .from = from + k});
    }
}

static void assign(struct scan *scan, const struct frame *frame,
                   const struct code_stmt *stmt)
{
    if (type_elementary(stmt->target_type))
        assign_one(scan, frame, stmt);
    else
        assign_all(scan, frame, stmt);
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

    for (uint32_t i = 0; i < n && !scan->failed && leaving == STAYED; i++) {
        if (stmts[i].stretch > 0)
            scan->stretch[stmts[i].stretch - 1] = true;
        leaving = run_one(scan, frame, &stmts[i]);
    }
    return leaving;
}

/* ---- whole texts ---- */

void exec_init(struct scan *scan)
{
    scan->call = call_function;
}

void exec_program(struct scan *scan, const struct program *program)
{
    const struct frame frame = {.base = program->frame,
                                .any = program->any};

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
