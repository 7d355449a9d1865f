#include "reference/walk.h"

#include "base/arena.h"

/* A POU has many instances and callers, its text is walked once. */
struct seen {
    const struct code_pou *pou;
    struct seen *next;
};

struct walker {
    struct arena *arena;
    const struct walk *walk;
    struct seen *seen;
};

static void walk_stmts(struct walker *walker, const struct code_stmt *stmts,
                       uint32_t n, bool in_review);
static void walk_expr(struct walker *walker, const struct code_expr *expr,
                      bool in_review);

static void walk_pou(struct walker *walker, const struct code_pou *pou)
{
    struct seen *seen;

    for (seen = walker->seen; seen; seen = seen->next)
        if (seen->pou == pou)
            return;
    seen = ARENA_NEW(walker->arena, struct seen);
    seen->pou = pou;
    seen->next = walker->seen;
    walker->seen = seen;
    walk_stmts(walker, pou->body, pou->n_body, false);
}

static void walk_place(struct walker *walker,
                       const struct code_variable *variable, bool in_review)
{
    for (uint32_t i = 0; i < variable->n_steps; i++)
        walk_expr(walker, variable->steps[i].value, in_review);
}

static void walk_args(struct walker *walker, const struct code_arg *args,
                      uint32_t n, bool in_review)
{
    for (uint32_t i = 0; i < n; i++) {
        if (args[i].kind != ARG_INPUT) {
            walk_place(walker, &args[i].target, in_review);
            continue;
        }
        walk_expr(walker, args[i].value, in_review);
        walker->walk->stored(walker->walk->context, args[i].value);
    }
}

static void walk_expr(struct walker *walker, const struct code_expr *expr,
                      bool in_review)
{
    if (!expr)
        return;
    walker->walk->expr(walker->walk->context, expr, in_review);
    walk_place(walker, &expr->variable, in_review);
    walk_expr(walker, expr->left, in_review);
    walk_expr(walker, expr->right, in_review);
    for (uint32_t i = 0; (expr->op == CODE_STANDARD || expr->op == CODE_ANY) &&
                         i < expr->n_args; i++)
        walk_expr(walker, expr->args[i].value, in_review);
    if (expr->op == CODE_CALL) {
        walk_args(walker, expr->args, expr->n_args, in_review);
        walker->walk->called(walker->walk->context, expr->pou);
        walk_pou(walker, expr->pou);
    }
}

static void walk_stmt(struct walker *walker, const struct code_stmt *stmt,
                      bool in_review)
{
    walk_expr(walker, stmt->value, in_review);
    if (stmt->kind == CODE_FOR) {
        walk_expr(walker, stmt->loop->to, in_review);
        walk_expr(walker, stmt->loop->by, in_review);
    }
    if (stmt->kind == CODE_ASSIGN || stmt->kind == CODE_FOR) {
        walk_place(walker, &stmt->target, in_review);
        walker->walk->stored(walker->walk->context, stmt->value);
    }
    if (stmt->kind == CODE_INVOKE) {
        walk_place(walker, &stmt->instance, in_review);
        walker->walk->called(walker->walk->context, stmt->pou);
        walk_args(walker, stmt->args, stmt->n_args, in_review);
        walk_pou(walker, stmt->pou);
    }
    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        const struct code_branch *branch = &stmt->branches[i];

        walk_expr(walker, branch->condition, in_review);
        walk_stmts(walker, branch->body, branch->n_body, in_review);
    }
}

static void walk_stmts(struct walker *walker, const struct code_stmt *stmts,
                       uint32_t n, bool in_review)
{
    for (uint32_t i = 0; i < n; i++)
        walk_stmt(walker, &stmts[i], in_review);
}

static void walk_body(struct walker *walker, const struct body *body)
{
    walk_stmts(walker, body->stmts, body->n_stmts, true);
}

static void walk_requirement(struct walker *walker,
                             const struct requirement *asked)
{
    walk_expr(walker, asked->a, true);
    walk_expr(walker, asked->b, true);
    walk_expr(walker, asked->c, true);
    walk_expr(walker, asked->a_previous, true);
    for (uint32_t i = 0; i < asked->n_started_by; i++)
        walk_expr(walker, asked->started_by[i], true);
    for (uint32_t i = 0; i < asked->n_cancelled_by; i++)
        walk_expr(walker, asked->cancelled_by[i], true);
    for (uint32_t i = 0; i < asked->n_triggers; i++)
        walk_expr(walker, asked->triggers[i].condition, true);
}

static void walk_machine(struct walker *walker, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_movements; i++)
        walk_expr(walker, model->movements[i].condition, true);
    for (uint32_t i = 0; i < model->n_mechanisms; i++)
        walk_body(walker, &model->mechanisms[i]);
    for (uint32_t i = 0; i < model->n_sensors; i++) {
        walk_expr(walker, model->sensors[i].on_when, true);
        walk_expr(walker, model->sensors[i].on_when_previous, true);
        walk_expr(walker, model->sensors[i].displaced, true);
    }
}

void walk_model(struct arena *arena, const struct model *model,
                const struct walk *walk)
{
    struct walker walker = {arena, walk, NULL};

    for (uint32_t i = 0; i < model->n_programs; i++)
        walk_pou(&walker, model->programs[i].pou);
    walk_machine(&walker, model);
    walk_body(&walker, &model->wiring_in);
    walk_body(&walker, &model->wiring_out);
    for (uint32_t i = 0; i < model->n_recorders; i++)
        walk_body(&walker, &model->recorders[i]);
    for (uint32_t i = 0; i < model->n_assumptions; i++)
        walk_expr(&walker, model->assumptions[i].condition, true);
    for (uint32_t i = 0; i < model->n_clocks; i++)
        walk_expr(&walker, model->clocks[i].held, true);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        walk_requirement(&walker, &model->requirements[i]);
    walk_expr(&walker, model->noticing.diagnostic, true);
    walk_expr(&walker, model->noticing.demand, true);
    walk_expr(&walker, model->noticing.cycle, true);
    walk_expr(&walker, model->noticing.repair, true);
    for (uint32_t i = 0; i < model->n_scenarios; i++)
        for (uint32_t k = 0; k < model->scenarios[i].n_steps; k++)
            walk_expr(&walker, model->scenarios[i].steps[k].expected, true);
}
