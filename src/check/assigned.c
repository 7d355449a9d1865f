#include "check/assigned.h"

#include "base/arena.h"

/* Blocks that are called in many places are not looked at in each, once
 * there is so much. */
enum { MANY = 20000 };

/* The running POU. */
struct running {
    struct assigned *assigned;
    struct arena *arena;
    uint32_t base;
    bool in_review;
    const struct assigned_guard *guard;
};

uint32_t assigned_slot(uint32_t base, const struct code_variable *variable)
{
    switch (variable->base) {
    case CODE_LOCAL: return base + variable->index;
    case CODE_GLOBAL: return variable->index;
    default: return MODEL_NONE;
    }
}

static void run(struct running *running, const struct code_stmt *stmts,
                uint32_t n);

static void assign(const struct running *running, uint32_t slot, uint32_t reach,
                   const struct code_expr *value)
{
    const struct assignment assignment = {.slot = slot, .reach = reach,
                                          .value = value,
                                          .base = running->base,
                                          .in_review = running->in_review,
                                          .guard = running->guard};

    if (slot != MODEL_NONE)
        vec_push(&running->assigned->all, assignment);
}

static void assign_to(const struct running *running,
                      const struct code_variable *target, uint32_t size,
                      const struct code_expr *value)
{
    assign(running, assigned_slot(running->base, target),
           code_reach(target, size), value);
}

static void guard(struct running *running, const struct code_expr *condition,
                  bool selects)
{
    struct assigned_guard *inner = ARENA_NEW(running->arena,
                                             struct assigned_guard);

    *inner = (struct assigned_guard){condition, selects, running->base,
                                     running->guard};
    running->guard = inner;
}

/* ---- calls ---- */

static bool is_known(const struct running *running, const struct code_pou *pou,
                     uint32_t base)
{
    for (size_t i = 0; i < running->assigned->all.n; i++)
        if (running->assigned->all.at[i].slot >= base &&
            running->assigned->all.at[i].slot < base + pou->size)
            return true;
    return false;
}

/* What lies in `from` to one of the slots. */
static void copy(const struct running *running, uint32_t slot,
                 uint32_t reach, struct assigned_slots from)
{
    size_t n = running->assigned->all.n;

    assign(running, slot, reach, NULL);
    if (running->assigned->all.n > n)
        running->assigned->all.at[n].from = from;
}

static void pass_outputs(const struct running *running,
                         const struct code_stmt *stmt, uint32_t base)
{
    for (uint32_t i = 0; i < stmt->n_args; i++) {
        const struct code_arg *arg = &stmt->args[i];

        if (arg->kind == ARG_OUTPUT)
            copy(running, assigned_slot(running->base, &arg->target),
                 code_reach(&arg->target, arg->target_type->size),
                 (struct assigned_slots){base + arg->parameter,
                                         arg->target_type->size});
    }
}

/* All that a standard block has becomes what its inputs make of it. */
static void run_standard(const struct running *running,
                         const struct code_stmt *stmt, uint32_t base)
{
    for (uint32_t i = 0; i < stmt->n_args; i++)
        if (stmt->args[i].kind == ARG_INPUT)
            copy(running, base, stmt->pou->size,
                 (struct assigned_slots){base + stmt->args[i].parameter, 1});
}

static void invoke(const struct running *running, const struct code_stmt *stmt)
{
    uint32_t base = assigned_slot(running->base, &stmt->instance);
    struct running callee = *running;
    bool again;

    if (base == MODEL_NONE)
        return;
    again = running->assigned->all.n > MANY &&
            is_known(running, stmt->pou, base);
    for (uint32_t i = 0; i < stmt->n_args; i++)
        if (stmt->args[i].kind == ARG_INPUT)
            assign(running, base + stmt->args[i].parameter,
                   stmt->args[i].target_type->size, stmt->args[i].value);
    callee.base = base;
    if (stmt->pou->standard != STANDARD_NONE)
        run_standard(running, stmt, base);
    else if (!again)
        run(&callee, stmt->pou->body, stmt->pou->n_body);
    pass_outputs(running, stmt, base);
}

/* ---- statements ---- */

/* Each branch is run where those before it are not; what can lead away
 * decides about all that stands behind it. */
static void run_branches(struct running *running, const struct code_stmt *stmt)
{
    const struct assigned_guard *outer = running->guard;

    if (stmt->kind == CODE_CASE)
        guard(running, stmt->value, true);
    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        const struct assigned_guard *before;

        if (stmt->branches[i].condition != NULL)
            guard(running, stmt->branches[i].condition, false);
        before = running->guard;
        run(running, stmt->branches[i].body, stmt->branches[i].n_body);
        if (!stmt->leaves)
            running->guard = before;
    }
    if (!stmt->leaves)
        running->guard = outer;
}

static void run_loop(struct running *running, const struct code_stmt *stmt)
{
    const struct assigned_guard *outer = running->guard;

    if (stmt->kind == CODE_WHILE || stmt->kind == CODE_REPEAT)
        guard(running, stmt->value, false);
    run_branches(running, stmt);
    if (!(stmt->leaves & LEAVES_POU))
        running->guard = outer;
}

static void run_one(struct running *running, const struct code_stmt *stmt)
{
    switch (stmt->kind) {
    case CODE_ASSIGN:
        assign_to(running, &stmt->target, stmt->target_type->size,
                  stmt->value);
        return;
    case CODE_INVOKE: invoke(running, stmt); return;
    case CODE_IF: case CODE_CASE: run_branches(running, stmt); return;
    case CODE_FOR: case CODE_WHILE: case CODE_REPEAT:
        run_loop(running, stmt);
        return;
    default: return; /* MAY is no control text; EXIT, RETURN assign nothing */
    }
}

static void run(struct running *running, const struct code_stmt *stmts,
                uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        run_one(running, &stmts[i]);
}

void assigned_find(struct assigned *assigned, struct arena *arena,
                   const struct model *model)
{
    struct running running = {.assigned = assigned, .arena = arena};

    *assigned = (struct assigned){0};
    for (uint32_t i = 0; i < model->n_functions; i++) {
        running.base = model->functions[i]->frame;
        running.guard = NULL;
        run(&running, model->functions[i]->body, model->functions[i]->n_body);
    }
    for (uint32_t i = 0; i < model->n_programs; i++) {
        running.base = model->programs[i].frame;
        running.guard = NULL;
        run(&running, model->programs[i].pou->body,
            model->programs[i].pou->n_body);
    }
    running = (struct running){.assigned = assigned, .arena = arena,
                               .in_review = true};
    run(&running, model->wiring_out.stmts, model->wiring_out.n_stmts);
}

void assigned_release(struct assigned *assigned)
{
    vec_release(&assigned->all);
}
