/* function.h - calls of the standard functions in expressions. */
#ifndef KEEPCLEAR_CHECK_FUNCTION_H
#define KEEPCLEAR_CHECK_FUNCTION_H

#include "check/env.h"

/* Is this the name of a standard function or a conversion? */
bool function_known(struct draft *draft, const struct name *name);

/* How arguments are checked: expr.h stands above. */
struct function_below {
    struct code_expr *(*check)(struct env *env, const struct tree_expr *tree,
                               const struct type *wanted);
    struct code_expr *(*condition)(struct env *env,
                                   const struct tree_expr *tree);
};

/* The call of one of them, or NULL when a mistake was reported; wanted (or
 * NULL) is the type that is needed there. */
struct code_expr *function_call(struct env *env,
                                const struct tree_expr *tree,
                                const struct type *wanted,
                                const struct function_below *below);

#endif
