/* actioncall.h - it.Name(): an ACTION of a block, called from outside. */
#ifndef KEEPCLEAR_CHECK_ACTIONCALL_H
#define KEEPCLEAR_CHECK_ACTIONCALL_H

#include "check/env.h"

/* Is or holds the variable of that name an instance of a block? */
bool actioncall_holds(const struct env *env, const struct name *name);

/* Is it such a call, as far as the name tells? */
bool actioncall_is(const struct env *env, const struct tree_stmt *tree);

/* Its body is that of the ACTION, its frame that of the instance.  False: a
 * mistake was reported. */
bool actioncall_check(struct env *env, const struct tree_stmt *tree,
                      struct code_stmt *out);

#endif
