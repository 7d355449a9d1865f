/* failing.h - when an expression is a run-time error, as a condition of its
 * operands.
 *
 * What is computed of numbers that nobody knows is left open (wide.h).  Where
 * comparing one operand with constants tells whether it can be computed at
 * all, that stays exact: IF b <> 0 THEN a / b is no division by zero, IF
 * n < 100 THEN n + 1 no overflow.
 */
#ifndef KEEPCLEAR_CHECK_FAILING_H
#define KEEPCLEAR_CHECK_FAILING_H

#include "check/env.h"

/* An expression of no other use than that it is the run-time error of expr
 * where expr would be.  NULL where comparisons with constants do not tell. */
struct code_expr *failing_guard(struct env *env,
                                const struct code_expr *expr);

#endif
