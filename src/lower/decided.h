/* decided.h - which vectors the decisions of the model have
 * (check/decision.h).
 *
 * A condition that was not evaluated, since what stands left of it decides,
 * counts as either value. */
#ifndef KEEPCLEAR_LOWER_DECIDED_H
#define KEEPCLEAR_LOWER_DECIDED_H

#include "lower/sym.h"

struct code_expr;
struct decision_part;

/* Before an expression is evaluated on the present path: of what it is part,
 * or NULL. */
const struct decision_part *decided_begin(struct sym *sym,
                                          const struct code_expr *expr);

/* Behind it. */
void decided_end(struct sym *sym, const struct decision_part *part,
                 flat_expr value);

#endif
