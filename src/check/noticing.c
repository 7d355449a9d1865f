#include "check/noticing.h"

#include "check/expr.h"
#include "check/limit.h"
#include "check/typing.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

/* Times in it have no strict side. */
static const struct code_expr *condition(struct env *env,
                                         const struct tree_expr *tree)
{
    const struct code_expr *code;

    if (!tree)
        return NULL;
    code = expr_condition(env, tree);
    if (code)
        limit_sampled(env->draft, code);
    return code;
}

void noticing_check(struct draft *draft)
{
    const struct tree_noticing *tree = &draft->run->review.noticing;
    struct noticing *made = &draft->model->noticing;
    struct env env = {
        .draft = draft, .text = TEXT_REQUIREMENT, .frame = MODEL_NONE};

    if (!tree->span.file)
        return;
    if (!tree->diagnostic)
        refuse(draft, tree->span,
               "write DIAGNOSTIC and a condition that is TRUE while the "
               "machine shows a fault",
               "NOTICING does not say how a fault shows");
    if (!tree->demand)
        refuse(draft, tree->span,
               "write DEMAND and the event at which the safety function is "
               "needed, such as RISING close_wish",
               "NOTICING does not say what the demand is");
    made->diagnostic = condition(&env, tree->diagnostic);
    made->demand = condition(&env, tree->demand);
    made->cycle = condition(&env, tree->cycle);
    made->repair = condition(&env, tree->repair);
}

/* ---- behind DESPITE ---- */

static bool looks_for_a_way(const struct tree_requirement *tree)
{
    return tree->form == TREE_POSSIBLE || tree->form == TREE_POSSIBLE_AGAIN;
}

static bool has_section(struct draft *draft, struct span span,
                        const char *what)
{
    return draft->run->review.noticing.span.file != 0 ||
           refuse(draft, span,
                  "add a section NOTICING with DIAGNOSTIC and DEMAND", what);
}

static bool another(struct draft *draft, const struct tree_requirement *tree,
                    struct requirement *row)
{
    row->another = tree->another;
    if (!tree->another)
        return true;
    if (tree->despite != 1)
        return refuse(draft, tree->name->span, "write DESPITE 1",
                      "AND ANOTHER speaks of a second fault after a single "
                      "one");
    if (looks_for_a_way(tree))
        return refuse(draft, tree->name->span,
                      "write DESPITE 2 FAULTS, or leave it out",
                      "AND ANOTHER is for requirements that can be broken, "
                      "not for POSSIBLE");
    return has_section(draft, tree->name->span,
                       "AND ANOTHER AFTER AN UNNOTICED ONE needs to know how "
                       "a fault is noticed");
}

static bool within(struct draft *draft, const struct tree_requirement *tree,
                   struct requirement *row)
{
    row->within.sampled = tree->within_sampled;
    if (!typing_constant(draft, NULL, tree->within, draft->types.time,
                         &row->within.wanted))
        return false;
    if (row->within.wanted <= 0)
        return refuse(draft, tree->within->span,
                      "write a time such as T#500ms",
                      "EXCEPT WITHIN needs a time above zero");
    return limit_judge(draft, &row->within, LIMIT_SHORTER, 1,
                       tree->within->span);
}

bool noticing_despite(struct draft *draft,
                      const struct tree_requirement *tree,
                      struct requirement *row)
{
    if (!another(draft, tree, row))
        return false;
    if (!tree->until_noticed && !tree->within)
        return true;
    if (looks_for_a_way(tree))
        return refuse(draft, tree->except,
                      "leave EXCEPT out, or ask with NEVER, ALWAYS, ONLY IF "
                      "and the like",
                      "EXCEPT is for requirements that can be broken, not "
                      "for POSSIBLE");
    if (tree->within)
        return within(draft, tree, row);
    row->noticed = draft->model->noticing.diagnostic;
    return has_section(draft, tree->except,
                       "UNTIL NOTICED needs to know how a fault is noticed");
}
