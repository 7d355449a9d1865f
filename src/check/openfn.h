/* openfn.h - functions that compute with REALs, texts and dates, and
 * conversions from and to these: what they give is left open.
 */
#ifndef KEEPCLEAR_CHECK_OPENFN_H
#define KEEPCLEAR_CHECK_OPENFN_H

#include "check/env.h"

enum { OPENFN_ARGS = 16 }; /* at most, of one call */

/* Could the call be one of SQRT (x), CONCAT (a, b), REAL_TO_INT (x) and the
 * like, by its name? */
bool openfn_concerns(struct env *env, const struct tree_expr *tree);

/* The call with its n operands, checked.  False where it is none of these
 * after all (ABS of a whole number): nothing was reported.  *out is NULL when
 * a mistake was. */
bool openfn_call(struct env *env, const struct tree_expr *tree,
                 struct code_expr *const *args, unsigned n,
                 struct code_expr **out);

#endif
