#include "check/lent.h"

#include "check/target.h"

enum { MAX_CALLS = 64 };

/* One VAR_IN_OUT of a POU, and how deep in calls it is. */
struct alias {
    const struct code_pou *pou;
    uint32_t in_out;
    unsigned depth;
};

static bool is_written(const struct alias *alias);

static bool is_it(const struct alias *alias,
                  const struct code_variable *variable)
{
    return variable->base == CODE_IN_OUT && variable->index == alias->in_out;
}

static bool in_expr(const struct alias *alias, const struct code_expr *expr);

static bool in_args(const struct alias *alias, const struct code_pou *callee,
                    const struct code_arg *args, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        struct alias next = {callee, args[i].parameter, alias->depth + 1};

        if (args[i].kind == ARG_INPUT && in_expr(alias, args[i].value))
            return true;
        if (args[i].kind == ARG_OUTPUT && is_it(alias, &args[i].target))
            return true;
        if (args[i].kind == ARG_IN_OUT && is_it(alias, &args[i].target) &&
            is_written(&next))
            return true;
    }
    return false;
}

static bool in_steps(const struct alias *alias,
                     const struct code_variable *variable)
{
    for (uint32_t i = 0; i < variable->n_steps; i++)
        if (in_expr(alias, variable->steps[i].value))
            return true;
    return false;
}

static bool in_expr(const struct alias *alias, const struct code_expr *expr)
{
    return expr && (in_expr(alias, expr->left) ||
                    in_expr(alias, expr->right) ||
                    in_steps(alias, &expr->variable) ||
                    in_args(alias, expr->pou, expr->args, expr->n_args));
}

static bool in_stmts(const struct alias *alias, const struct code_stmt *stmts,
                     uint32_t count);

static bool in_branches(const struct alias *alias,
                        const struct code_stmt *stmt)
{
    for (uint32_t i = 0; i < stmt->n_branches; i++)
        if (in_expr(alias, stmt->branches[i].condition) ||
            in_stmts(alias, stmt->branches[i].body,
                     stmt->branches[i].n_body))
            return true;
    return false;
}

static bool in_stmts(const struct alias *alias, const struct code_stmt *stmts,
                     uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const struct code_stmt *stmt = &stmts[i];
        bool stores = stmt->kind == CODE_ASSIGN || stmt->kind == CODE_FOR;

        if (stores && (is_it(alias, &stmt->target) ||
                       in_steps(alias, &stmt->target)))
            return true;
        if (stmt->kind == CODE_INVOKE && is_it(alias, &stmt->instance))
            return true;
        if (stmt->kind == CODE_FOR && (in_expr(alias, stmt->loop->to) ||
                                       in_expr(alias, stmt->loop->by)))
            return true;
        if (in_expr(alias, stmt->value) ||
            in_args(alias, stmt->pou, stmt->args, stmt->n_args) ||
            in_branches(alias, stmt))
            return true;
    }
    return false;
}

/* Where calls are nested too deeply to tell, yes. */
static bool is_written(const struct alias *alias)
{
    return alias->depth > MAX_CALLS ||
           in_stmts(alias, alias->pou->body, alias->pou->n_body);
}

void lent_report(struct draft *draft)
{
    for (size_t i = 0; i < draft->lent.n; i++) {
        const struct lent *lent = &draft->lent.at[i];
        struct alias alias = {lent->pou, lent->in_out, 0};

        if (is_written(&alias))
            target_kept(draft, lent->kept, lent->span, lent->name);
    }
}
