#include "check/execution.h"

#include <string.h>

#include "check/anything.h"
#include "check/arith.h"

static const struct symbol *declared(const struct unit *unit,
                                     const char *folded,
                                     enum tree_section section)
{
    for (size_t i = 0; i < unit->scope.all.n; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (symbol->section == section && symbol->type &&
            symbol->type->kind == TYPE_BOOL &&
            strcmp(symbol->name->folded, folded) == 0)
            return symbol;
    }
    return NULL;
}

bool execution_declared(const struct unit *unit)
{
    return declared(unit, "en", TREE_VAR_INPUT) != NULL;
}

static struct code_expr *any_truth(struct env *env,
                                   const struct symbol *symbol)
{
    return abstract_any(env,
                        (struct open_place){
                            .kind = OPEN_VALUE,
                            .what = symbol->name->spelling,
                            .type = env->draft->types.boolean,
                            .apart = true,
                            .span = symbol->span},
                        NULL, 0);
}

static struct code_stmt says(const struct symbol *symbol,
                             struct code_expr *value)
{
    return (struct code_stmt){.kind = CODE_ASSIGN,
                              .span = symbol->span,
                              .target = symbol->variable,
                              .target_type = symbol->type,
                              .value = value,
                              .site = CODE_NO_SITE,
                              .choice = MODEL_NONE};
}

/* The body behind what ENO may be before it. */
static void run(struct env *env, const struct unit *unit,
                const struct symbol *eno, struct code_branch *branch)
{
    uint32_t n = unit->pou->n_body;
    struct code_stmt *rows =
        arena_array(env->draft->arena, n + 1, sizeof *rows);

    if (eno)
        rows[branch->n_body++] = says(eno, any_truth(env, eno));
    if (n)
        memcpy(rows + branch->n_body, unit->pou->body, n * sizeof *rows);
    branch->n_body += n;
    branch->body = rows;
}

/* What is there instead of the body. */
static void leave(struct env *env, const struct unit *unit,
                  const struct symbol *eno, struct code_branch *branch)
{
    struct draft *draft = env->draft;
    struct anything any = {.env = env};

    for (size_t i = 0; i < unit->scope.all.n &&
                       unit->pou->kind == POU_FUNCTION; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (symbol == eno || !symbol->type ||
            (symbol->section != TREE_VAR_OUTPUT &&
             symbol->name != unit->name))
            continue;
        any.symbol = symbol;
        anything_give(&any, symbol->variable, symbol->type);
    }
    if (eno)
        vec_push(&any.stmts,
                 says(eno, arith_constant(draft, draft->types.boolean, 0,
                                          eno->span)));
    branch->body = anything_take(&any, &branch->n_body);
}

/* EN, or a controller that takes it for any other input. */
static const struct code_expr *enabled(struct env *env,
                                       const struct symbol *en)
{
    struct code_expr *given = arith_new(env->draft, CODE_VARIABLE, en->type,
                                        en->span);
    struct code_expr *either = arith_new(
        env->draft, CODE_OR_ELSE, env->draft->types.boolean, en->span);

    given->variable = en->variable;
    either->left = given;
    either->right = any_truth(env, en);
    return either->right ? either : NULL;
}

void execution_wrap(struct env *env, struct unit *unit)
{
    const struct symbol *en = declared(unit, "en", TREE_VAR_INPUT);
    const struct symbol *eno = declared(unit, "eno", TREE_VAR_OUTPUT);
    struct code_branch *rows, alone = {0};
    struct code_stmt *stmt;

    if (unit->pou->kind == POU_PROGRAM || (!en && !eno))
        return;
    if (!en) {
        run(env, unit, eno, &alone);
        unit->pou->body = alone.body;
        unit->pou->n_body = alone.n_body;
        return;
    }
    rows = arena_array(env->draft->arena, 2, sizeof *rows);
    stmt = ARENA_NEW(env->draft->arena, struct code_stmt);
    *stmt = (struct code_stmt){.kind = CODE_IF, .span = en->span,
                               .branches = rows, .n_branches = 2,
                               .site = CODE_NO_SITE, .choice = MODEL_NONE};
    rows[0].span = rows[1].span = en->span;
    rows[0].branch = rows[1].branch = CODE_NO_SITE;
    rows[0].condition = enabled(env, en);
    run(env, unit, eno, &rows[0]);
    leave(env, unit, eno, &rows[1]);
    for (uint32_t i = 0; i < rows[0].n_body; i++)
        stmt->leaves |= rows[0].body[i].leaves;
    if (!rows[0].condition)
        return; /* reported */
    unit->pou->body = stmt;
    unit->pou->n_body = 1;
}
