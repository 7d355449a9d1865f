/* operators.h - expressions that read otherwise than they are computed. */
#ifndef KEEPCLEAR_CHECK_ADVICE_OPERATORS_H
#define KEEPCLEAR_CHECK_ADVICE_OPERATORS_H

#include "check/env.h"

/* Looks at one operator as it was written; left is its checked left side. */
void operators_advise(struct env *env, const struct tree_expr *tree,
                      const struct code_expr *left);

#endif
