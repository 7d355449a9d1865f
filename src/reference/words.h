/* words.h - bit strings, standard functions and conversions, computed.
 *
 * Inside of the machine.
 */
#ifndef KEEPCLEAR_REFERENCE_WORDS_H
#define KEEPCLEAR_REFERENCE_WORDS_H

#include "check/code.h"

/* The value of an expression from CODE_BIT to CODE_CONVERT; operand: its two
 * sides, or its arguments.  False where it is a run-time error. */
bool words_compute(const struct code_expr *expr, const int64_t *operand,
                   int64_t *result);

/* Below 0, 0 or above 0, as a, the value of the left expression, is less than
 * b, equal or greater. */
int64_t words_order(const struct code_expr *left,
                    const struct code_expr *right, int64_t a, int64_t b);

#endif
