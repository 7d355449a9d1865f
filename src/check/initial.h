/* initial.h - initial values of arrays, structures and instances, as they
 * are written: [1, 2, 3(0)] and (x := 1, y := 2), nested as the type is. */
#ifndef KEEPCLEAR_CHECK_INITIAL_H
#define KEEPCLEAR_CHECK_INITIAL_H

#include "check/draft.h"

/* The values of one variable of this type, of which nothing is written yet:
 * the defaults of the type; in the arena. */
int64_t *initial_default(struct draft *draft, const struct type *type);

/* Writes what stands in the tree over values.  False when a mistake was
 * reported. */
bool initial_read(struct draft *draft, const struct scope *scope,
                  const struct tree_expr *tree, const struct type *type,
                  int64_t *values);

#endif
