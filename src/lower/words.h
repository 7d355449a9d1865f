/* words.h - bit strings, standard functions and conversions as flat
 * expressions. */
#ifndef KEEPCLEAR_LOWER_WORDS_H
#define KEEPCLEAR_LOWER_WORDS_H

#include "check/code.h"
#include "logic/build.h"

/* Is the operator one of these: CODE_BIT to CODE_CONVERT? */
bool words_are(enum code_op op);

/* The value of such an expression of its operands: left and right, or its
 * arguments. */
flat_expr words_value(struct flat_builder *b, const struct code_expr *expr,
                      const flat_expr *operand);

/* When that is a run-time error; asked only where the expression has a
 * site. */
flat_expr words_error(struct flat_builder *b, const struct code_expr *expr,
                      const flat_expr *operand);

#endif
