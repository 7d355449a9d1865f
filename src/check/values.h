/* values.h - the values that a free choice can take. */
#ifndef KEEPCLEAR_CHECK_VALUES_H
#define KEEPCLEAR_CHECK_VALUES_H

#include "check/flow.h"

/* Sets values, count, rest and cells of a choice of this type.  node: where
 * the value enters the flow, MODEL_NONE to take every value as it is.
 * Reports a choice with too many values. */
void values_of(struct draft *draft, const struct flow *flow, uint32_t node,
               struct choice *choice);

/* From low to high, which are whole steps apart; rest 0. */
void values_steps(struct draft *draft, int64_t low, int64_t step,
                  int64_t high, struct choice *choice);

/* 0 .. count - 1, rest 0. */
void values_count(struct draft *draft, uint32_t count,
                  struct choice *choice);

#endif
