/* rounding.h - expressions in which a REAL becomes a whole number. */
#ifndef KEEPCLEAR_CHECK_ROUNDING_H
#define KEEPCLEAR_CHECK_ROUNDING_H

#include "check/env.h"

struct flow;

/* The REAL value as a whole number of `to`; cut: whatever the controller does,
 * what is behind its point goes.  what: as abstract_any.  NULL when a mistake
 * was reported. */
struct code_expr *rounding_make(struct env *env, struct code_expr *value,
                                const struct type *to, bool cut,
                                const char *what);

/* Cuts the classes of REALs that are rounded where the result comes to
 * another cell of its own class. */
void rounding_cut(struct flow *flow);

#endif
