/* enabled.h - EN and ENO of a call: the call without them, and what they say.
 *
 * x := f(EN := c, a, ENO => ok) is read as: where c holds, x := f(a) and then
 * ok := TRUE; elsewhere nothing of the call is done, x is any value of its
 * type, for the standard leaves the result open there, and ok is FALSE.
 */
#ifndef KEEPCLEAR_CHECK_ENABLED_H
#define KEEPCLEAR_CHECK_ENABLED_H

#include "check/env.h"

struct enabled {
    struct tree_stmt *call;      /* without EN and ENO */
    const struct tree_expr *en;  /* or NULL: always */
    const struct tree_stmt *yes; /* ENO := TRUE, or NULL: not asked for */
    const struct tree_stmt *no;  /* ENO := FALSE, likewise */
};

/* Is this one of the two names? */
bool enabled_word(const struct name *name);

/* A statement that calls with EN or ENO, as enabled_split takes them out? */
bool enabled_asks(const struct tree_stmt *tree);

/* Takes EN and ENO out of a call that is a statement, or the value of an
 * assignment.  False where there are none, or a mistake was reported
 * (*good false). */
bool enabled_split(struct env *env, const struct tree_stmt *tree,
                   struct enabled *out, bool *good);

/* Does what is called declare EN or ENO itself?  Reported. */
bool enabled_declared(struct env *env, const struct code_pou *pou,
                      struct span span);

#endif
