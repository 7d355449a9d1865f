/* arith.h - operators: types, constants folded, places of run-time errors.
 *
 * Operands are fresh nodes: a whole number without a type takes the type it
 * meets.
 */
#ifndef KEEPCLEAR_CHECK_ARITH_H
#define KEEPCLEAR_CHECK_ARITH_H

#include "check/env.h"

struct code_expr *arith_new(struct draft *draft, enum code_op op,
                            const struct type *type, struct span span);
struct code_expr *arith_constant(struct draft *draft,
                                 const struct type *type, int64_t value,
                                 struct span span);

/* left op right, or NULL when a mistake was reported. */
struct code_expr *arith_binary(struct env *env, enum tree_op op,
                               struct code_expr *left,
                               struct code_expr *right, struct span span);

/* op value, or NULL when a mistake was reported. */
struct code_expr *arith_unary(struct env *env, enum tree_op op,
                              struct code_expr *value, struct span span);

/* May a value be stored in a variable of this type?  *site gets the place
 * of a run-time error if it need not fit.  False when a mistake was
 * reported. */
bool arith_store(struct env *env, struct code_expr *value,
                 const struct type *target, uint32_t *site);

/* The same for a variable's value, which has a type already. */
bool arith_store_type(struct env *env, const struct type *value,
                      const struct type *target, struct span span,
                      uint32_t *site);

/* Gives a whole number left without a type DINT or LINT. */
void arith_settle(struct draft *draft, struct code_expr *value);

#endif
