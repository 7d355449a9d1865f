/* apply.h - what the operators of the flat logic mean. */
#ifndef KEEPCLEAR_LOGIC_APPLY_H
#define KEEPCLEAR_LOGIC_APPLY_H

#include "logic/flat.h"

/* Computes an operator on known values: the one place that says what it
 * means; b and c are used as far as the operator has them.  Arithmetic
 * beyond 64 bits wraps; an error site of the language guards it.  Not for
 * leaves. */
int64_t flat_apply(enum flat_op op, int64_t a, int64_t b, int64_t c);

#endif
