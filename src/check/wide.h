/* wide.h - whole numbers of which too much is wanted.
 *
 * A value that comes in from outside is tried cell by cell, or value by
 * value where the texts do more than compare it with constants.  Where that
 * would be too many, the texts are checked anew, and what is computed of it
 * is left open, as with REALs: any value, anew at each execution; where the
 * result need not fit its type, the run-time error stays possible.  Without
 * a review text a variable that is no input, and that nothing writes, stays
 * as it begins then: a condition that the result lists.
 */
#ifndef KEEPCLEAR_CHECK_WIDE_H
#define KEEPCLEAR_CHECK_WIDE_H

#include "check/env.h"

/* The expression, or any value in its place. */
struct code_expr *wide_value(struct env *env, struct code_expr *expr);

#endif
