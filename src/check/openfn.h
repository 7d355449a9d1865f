/* openfn.h - functions that compute with REALs, texts and dates, and
 * conversions from and to these: what they give is left open.
 */
#ifndef KEEPCLEAR_CHECK_OPENFN_H
#define KEEPCLEAR_CHECK_OPENFN_H

#include "check/env.h"

/* SQRT (x), CONCAT (a, b), REAL_TO_INT (x) and the like.  False where the
 * call is of none of these: nothing was reported.  *out is NULL when a
 * mistake was. */
bool openfn_call(struct env *env, const struct tree_expr *tree,
                 struct code_expr **out);

#endif
