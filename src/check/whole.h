/* whole.h - MOVE, SEL and MUX of whole arrays and structures:
 * `x := SEL(g, a, b);`.
 *
 * Their values are handed on slot by slot, which stands right of := alone.
 * So the assignment becomes a choice between assignments.
 */
#ifndef KEEPCLEAR_CHECK_WHOLE_H
#define KEEPCLEAR_CHECK_WHOLE_H

#include "check/env.h"

/* x := MOVE (a) is choices[0] alone; else choices[i], of n, is what the
 * selector i stands for. */
struct whole {
    const struct tree_expr *selector; /* SEL or MUX of whole numbers; NULL:
                                         MOVE */
    struct tree_stmt *choices[FUNCTION_MOST_ARGS];
    uint32_t n;
};

/* Is the statement such an assignment, its target of this type?  False, and
 * *good: it is not; else a mistake was reported. */
bool whole_split(struct env *env, const struct tree_stmt *tree,
                 struct whole *whole, bool *good);

#endif
