#include "study/sites.h"

/* A text being read. */
struct reading {
    const struct site_visitor *visitor;
    uint32_t base;
    const struct site_guard *guard;
};

static void read_all(const struct reading *reading,
                     const struct code_stmt *stmts, uint32_t n);

/* Can the slot be one of those of a variable of this type?  *sure: it is the
 * very variable. */
static bool is_it(const struct reading *reading,
                  const struct code_variable *variable,
                  const struct type *type, bool *sure)
{
    uint32_t slot = reading->visitor->slot;
    uint32_t first = variable->index +
                     (variable->base == CODE_LOCAL ? reading->base : 0);

    if (variable->base == CODE_IN_OUT)
        return false;
    *sure = variable->n_steps == 0 && type_elementary(type);
    return slot >= first &&
           slot - first < code_reach(variable, type->size);
}

static void found(const struct reading *reading,
                  const struct code_expr *value, struct span place,
                  bool block)
{
    const struct site site = {value, reading->base, reading->guard, place,
                              block};

    reading->visitor->visit(reading->visitor->context, &site);
}

/* ---- calls ---- */

static void read_arguments(const struct reading *reading,
                           const struct code_stmt *stmt, uint32_t frame)
{
    for (uint32_t i = 0; i < stmt->n_args; i++) {
        const struct code_arg *arg = &stmt->args[i];
        uint32_t slot = reading->visitor->slot;
        bool sure;

        if (arg->kind == ARG_INPUT && slot >= frame + arg->parameter &&
            slot - frame - arg->parameter < arg->target_type->size)
            found(reading,
                  type_elementary(arg->target_type) ? arg->value : NULL,
                  arg->value->span, false);
        else if (arg->kind == ARG_OUTPUT &&
                 is_it(reading, &arg->target, arg->target_type, &sure))
            found(reading, NULL, stmt->span, false);
    }
}

/* Does the input of a standard block decide its outputs? */
static bool decides(const struct code_pou *pou, uint32_t parameter)
{
    return parameter == 0 || (pou->standard >= STANDARD_CTU &&
                              parameter <= COUNTER_LD);
}

/* The output of a standard block goes by its first input; of a counter by
 * all that counts. */
static void read_standard(const struct reading *reading,
                          const struct code_stmt *stmt, uint32_t frame)
{
    uint32_t slot = reading->visitor->slot;

    if (slot < frame + EDGE_Q || slot >= frame + stmt->pou->size)
        return;
    for (uint32_t i = 0; i < stmt->n_args; i++)
        if (frame + stmt->args[i].parameter == slot)
            return;
    for (uint32_t i = 0; i < stmt->n_args; i++)
        if (stmt->args[i].kind == ARG_INPUT &&
            decides(stmt->pou, stmt->args[i].parameter))
            found(reading, stmt->args[i].value, stmt->span, true);
}

static void read_call(const struct reading *reading,
                      const struct code_stmt *stmt)
{
    uint32_t frame = stmt->instance.index +
                     (stmt->instance.base == CODE_LOCAL ? reading->base : 0);
    const struct reading callee = {reading->visitor, frame, reading->guard};

    if (stmt->instance.base == CODE_IN_OUT || stmt->instance.n_steps > 0)
        return; /* not followed */
    read_arguments(reading, stmt, frame);
    if (stmt->pou->standard != STANDARD_NONE)
        read_standard(reading, stmt, frame);
    else
        read_all(&callee, stmt->pou->body, stmt->pou->n_body);
}

/* ---- branches ---- */

/* Conditions of the branches before b, then its own. */
static void read_branch(const struct reading *reading,
                        const struct code_stmt *stmt, uint32_t b,
                        const struct site_guard *outer)
{
    const struct code_branch *branch = &stmt->branches[b];
    const struct site_guard guard = {
        .condition = stmt->kind == CODE_CASE ? stmt->value
                                             : branch->condition,
        .low = branch->n_labels > 0 ? branch->labels[0].low : 0,
        .label = branch->n_labels > 0,
        .span = branch->span,
        .outer = outer,
        .base = reading->base,
    };
    const struct reading inside = {reading->visitor, reading->base, &guard};

    read_all(&inside, branch->body, branch->n_body);
}

/* Goes down with one negated guard per earlier branch of an IF; as deep as
 * an IF has branches. */
static void read_branches(const struct reading *reading,
                          const struct code_stmt *stmt, uint32_t b,
                          const struct site_guard *outer)
{
    struct site_guard guard = {.outer = outer, .base = reading->base};

    if (b == stmt->n_branches)
        return;
    read_branch(reading, stmt, b, outer);
    guard.condition = stmt->branches[b].condition;
    guard.negated = true;
    guard.span = stmt->branches[b].span;
    read_branches(reading, stmt, b + 1,
                  stmt->kind == CODE_IF ? &guard : outer);
}

static void read_all(const struct reading *reading,
                     const struct code_stmt *stmts, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        const struct code_stmt *stmt = &stmts[i];
        bool sure;

        if (stmt->kind == CODE_ASSIGN &&
            is_it(reading, &stmt->target, stmt->target_type, &sure))
            found(reading, sure ? stmt->value : NULL, stmt->span, false);
        else if (stmt->kind == CODE_INVOKE)
            read_call(reading, stmt);
        else
            read_branches(reading, stmt, 0, reading->guard);
    }
}

static void read_body(const struct site_visitor *visitor,
                      const struct body *body)
{
    const struct reading reading = {visitor, 0, NULL};

    read_all(&reading, body->stmts, body->n_stmts);
}

void sites_visit(const struct site_visitor *visitor)
{
    const struct model *model = visitor->model;

    read_body(visitor, &model->wiring_in);
    for (uint32_t i = 0; i < model->n_programs; i++) {
        const struct program *program = &model->programs[i];
        const struct reading reading = {visitor, program->frame, NULL};

        read_all(&reading, program->pou->body, program->pou->n_body);
    }
    for (uint32_t i = 0; i < model->n_functions; i++) {
        const struct code_pou *pou = model->functions[i];
        const struct reading reading = {visitor, pou->frame, NULL};

        read_all(&reading, pou->body, pou->n_body);
    }
    read_body(visitor, &model->wiring_out);
    for (uint32_t i = 0; i < model->n_mechanisms; i++)
        read_body(visitor, &model->mechanisms[i]);
    for (uint32_t i = 0; i < model->n_recorders; i++)
        read_body(visitor, &model->recorders[i]);
}
