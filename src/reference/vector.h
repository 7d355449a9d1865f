/* vector.h - which vectors the decisions of the model had in a scan
 * (check/decision.h).
 *
 * A condition that was not evaluated, since what stands left of it decides,
 * counts as either value. */
#ifndef KEEPCLEAR_REFERENCE_VECTOR_H
#define KEEPCLEAR_REFERENCE_VECTOR_H

#include "reference/scan.h"

struct decision_part;

/* Before an expression is evaluated: of what it is part, or NULL. */
const struct decision_part *vector_begin(struct scan *scan,
                                          const struct code_expr *expr);

/* Behind it; without effect where the path has ended. */
void vector_end(struct scan *scan, const struct decision_part *part,
                 bool value);

#endif
