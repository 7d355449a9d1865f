/* sized.h - SIZEOF (variable): how many bytes it takes; LOWER_BOUND and
 * UPPER_BOUND (array, dimension). */
#ifndef KEEPCLEAR_CHECK_SIZED_H
#define KEEPCLEAR_CHECK_SIZED_H

#include "check/env.h"

/* Is this a call of it, and of no FUNCTION of the texts? */
bool sized_call(const struct env *env, const struct tree_expr *tree);

/* The bytes that a value takes on every controller; 0: they differ. */
int64_t sized_bytes(const struct draft *draft, const struct type *type);

/* Of numbers, bit strings, BOOL and arrays of them the bytes that every
 * controller takes; of all else any number.  NULL when a mistake was
 * reported. */
struct code_expr *sized_value(struct env *env, const struct tree_expr *tree);

/* The same for the bounds of an array. */
bool sized_bound(const struct env *env, const struct tree_expr *tree);
struct code_expr *sized_bound_value(struct env *env,
                                    const struct tree_expr *tree);

/* ARRAY [*] has the bounds of what it is given: of a function at each call, of
 * an instance the same at each.  False: reported. */
bool sized_takes(struct env *env, struct variant where, struct span span,
                 const struct symbol *symbol, const struct type *type);

/* Do its bounds come with the next round only? */
bool sized_waits(const struct env *env, const struct type *type);

#endif
