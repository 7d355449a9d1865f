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

#endif
