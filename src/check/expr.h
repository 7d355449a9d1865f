/* expr.h - expressions, and the arguments of calls. */
#ifndef KEEPCLEAR_CHECK_EXPR_H
#define KEEPCLEAR_CHECK_EXPR_H

#include "check/env.h"

/* A checked expression, or NULL when a mistake was reported; `wanted` (or
 * NULL) helps to choose among enumeration items and is not enforced. */
struct code_expr *expr_check(struct env *env, const struct tree_expr *tree,
                             const struct type *wanted);

/* The same for a condition (BOOL). */
/* As expr_check, but it may be a whole array or structure. */
struct code_expr *expr_value(struct env *env, const struct tree_expr *tree,
                             const struct type *wanted);

struct code_expr *expr_condition(struct env *env,
                                 const struct tree_expr *tree);

/* Is this the name of a function of the language? */
bool expr_is_function(struct env *env, const struct tree_path *path);

/* Checks the arguments of a call of unit.  False when a mistake was
 * reported. */
struct expr_call {
    const struct unit *unit;
    const struct tree_arg *args;
    struct span span; /* of the call */
    struct variant where; /* whose bounds it gives to ARRAY [*] */
    const struct code_arg *checked;
    uint32_t n_checked;
};
bool expr_arguments(struct env *env, struct expr_call *call);

#endif
