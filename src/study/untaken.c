#include "study/untaken.h"

/* The slot asked about, and the frame of the text being read. */
struct asked {
    uint32_t base, slot;
    int64_t value;
};

/* Can the slot be one of those of a variable of this size? */
static bool is_slot(const struct asked *asked,
                    const struct code_variable *variable, uint32_t size)
{
    uint32_t first = variable->index +
                     (variable->base == CODE_LOCAL ? asked->base : 0);

    if (variable->base == CODE_IN_OUT)
        return false; /* not followed */
    return asked->slot >= first &&
           asked->slot - first < code_reach(variable, size);
}

static bool assigns(const struct asked *asked, const struct code_stmt *stmt)
{
    return is_slot(asked, &stmt->target, stmt->target_type->size) &&
           !(stmt->value->op == CODE_CONST &&
             stmt->value->value == asked->value);
}

static bool calls(const struct asked *asked, const struct code_stmt *stmt)
{
    if (is_slot(asked, &stmt->instance, stmt->pou->size))
        return true;
    for (uint32_t i = 0; i < stmt->n_args; i++)
        if (stmt->args[i].kind != ARG_INPUT &&
            is_slot(asked, &stmt->args[i].target,
                    stmt->args[i].target_type->size))
            return true;
    return false;
}

static bool changes(const struct asked *asked, const struct code_stmt *stmts,
                    uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        const struct code_stmt *stmt = &stmts[i];

        if (stmt->kind == CODE_ASSIGN && assigns(asked, stmt))
            return true;
        if (stmt->kind == CODE_FOR && is_slot(asked, &stmt->target, 1))
            return true;
        if (stmt->kind == CODE_INVOKE && calls(asked, stmt))
            return true;
        for (uint32_t b = 0; b < stmt->n_branches; b++)
            if (changes(asked, stmt->branches[b].body,
                        stmt->branches[b].n_body))
                return true;
    }
    return false;
}

/* It ran, and ended: that it did not run once more says nothing. */
static bool ended(const struct trace_guard *guard)
{
    const struct trace_guard *outer = guard->outer;

    if (guard->stmt->kind < CODE_FOR)
        return false;
    while (outer != NULL &&
           (outer->stmt != guard->stmt || outer->base != guard->base))
        outer = outer->outer;
    return outer != NULL;
}

uint32_t untaken_branch(const struct trace_guard *guard, uint32_t from,
                        uint32_t slot, int64_t value)
{
    const struct asked asked = {guard->base, slot, value};

    for (uint32_t b = from; b < guard->stmt->n_branches; b++)
        if (b != guard->taken && !ended(guard) &&
            changes(&asked, guard->stmt->branches[b].body,
                    guard->stmt->branches[b].n_body))
            return b;
    return UNTAKEN_NONE;
}

bool untaken_left(const struct trace_guard *guard, uint32_t slot,
                  int64_t value)
{
    const struct asked asked = {guard->base, slot, value};
    const struct code_stmt *left = guard->left;

    if (left == NULL)
        return false;
    if (left->kind == CODE_RETURN)
        return changes(&asked, left->pou->body, left->pou->n_body);
    if (left->kind == CODE_EXIT && left->loop->stmt->kind == CODE_FOR &&
        is_slot(&asked, &left->loop->stmt->target, 1))
        return true; /* it would have counted on */
    return changes(&asked, left->loop->stmt->branches[0].body,
                   left->loop->stmt->branches[0].n_body);
}
