#include "check/counting.h"

#include "check/type.h"

/* Is every value of the control variable known, whatever it was before?
 * Without a site nothing but the loop writes it. */
static bool counts_known(const struct code_stmt *stmt)
{
    const struct code_loop *loop = stmt->loop;

    return stmt->site == CODE_NO_SITE && stmt->value->op == CODE_CONST &&
           loop->to->op == CODE_CONST &&
           (!loop->by || loop->by->op == CODE_CONST);
}

/* Does it begin with a constant, and is it a variable of its own? */
static bool counts_alone(const struct code_pou *pou,
                         const struct code_stmt *stmt)
{
    if (!pou || stmt->value->op != CODE_CONST ||
        stmt->target.base != CODE_LOCAL)
        return false;
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].offset == stmt->target.index && !pou->vars[i].pou)
            return type_elementary(pou->vars[i].type); /* no part of one */
    return false;
}

bool counting_afresh(const struct code_pou *pou,
                     const struct code_stmt *stmt)
{
    return counts_alone(pou, stmt) || counts_known(stmt);
}
