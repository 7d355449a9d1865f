#include "check/intended.h"

#include "check/draft.h"
#include "check/env.h"
#include "check/expr.h"
#include "check/sight.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

static bool find_actuator(struct draft *draft, const struct tree_ident *ident,
                          uint32_t *actuator)
{
    const struct symbol *symbol = scope_find(&draft->review, ident->name);

    if (symbol == NULL || symbol->kind != SYMBOL_ACTUATOR) {
        diag_add(draft->diags, DIAG_ERROR, ident->span,
                 "name a valve, motor, lamp, horn or output of CONTROLS",
                 "'%s' is no output that may differ", ident->name->spelling);
        return false;
    }
    *actuator = symbol->index;
    return true;
}

static bool calls(const struct code_expr *expr)
{
    return expr != NULL && (expr->op == CODE_CALL || calls(expr->left) ||
                            calls(expr->right));
}

/* It is said of both versions, so of what both have in common. */
static bool read_condition(struct draft *draft,
                           const struct tree_intended *tree,
                           struct intended *row)
{
    struct env env = {.draft = draft, .text = TEXT_EXPECT,
                      .frame = MODEL_NONE};
    size_t sites = draft->errors.n;
    struct sight sight = {0};

    row->condition = expr_condition(&env, tree->condition);
    if (row->condition == NULL)
        return false;
    if (calls(row->condition))
        return refuse(draft, row->condition->span,
                      "call it in a RECORDER, and name its result",
                      "an intended difference calls no function");
    if (draft->errors.n != sites)
        return refuse(draft, draft->errors.at[sites].span,
                      "compare the values themselves, or compute it in a "
                      "RECORDER", "this result may not fit its type");
    sight_add(draft, row->condition, NULL, &sight);
    return !sight.program ||
           refuse(draft, sight.place,
                  "name hands, sensors, machine variables or faults",
                  "READ, COMMANDED and variables of the control text need not "
                  "be alike in both versions");
}

static void read_one(struct draft *draft, const struct tree_intended *tree)
{
    struct intended row = {
        .name = draft_named(draft, tree->name->name, tree->name->span),
        .title = tree->title.at, .span = tree->span};
    const struct symbol label = {.name = tree->name->name,
                                 .kind = SYMBOL_LABEL,
                                 .span = tree->name->span,
                                 .index = (uint32_t)draft->intended.n};

    if (row.title == NULL)
        row.title = row.name->spelling;
    scope_add(&draft->labels, draft->arena, draft->diags, &label);
    if (find_actuator(draft, tree->output, &row.actuator) &&
        read_condition(draft, tree, &row))
        vec_push(&draft->intended, row);
}

void intended_read(struct draft *draft)
{
    for (const struct tree_intended *at = draft->run->review.intended.first;
         at != NULL; at = at->next)
        read_one(draft, at);
}
