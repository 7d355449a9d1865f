/* extent.h - between which numbers the value of an expression lies.
 *
 * Whatever its operands are, and whatever a setting of the controller says:
 * as long as no run-time error has occurred.
 */
#ifndef KEEPCLEAR_CHECK_EXTENT_H
#define KEEPCLEAR_CHECK_EXTENT_H

#include "check/code.h"

struct extent {
    __int128 low, high; /* both included */
};

struct extent extent_type(const struct type *type);

/* All results of + - * on numbers from a and b, and of -a, as numbers. */
struct extent extent_combine(enum code_op op, struct extent a,
                             struct extent b);

/* Does all of inner lie in outer? */
bool extent_holds(struct extent outer, struct extent inner);

struct extent extent_of(const struct code_expr *expr);

/* The same as two values. */
void extent_find(const struct code_expr *expr, int64_t *low, int64_t *high);
bool extent_lies_in(const struct code_expr *expr, int64_t low, int64_t high);

#endif
