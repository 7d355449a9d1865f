/* operate.h - operators of checked expressions as flat expressions, and when
 * they are a run-time error. */
#ifndef KEEPCLEAR_LOWER_OPERATE_H
#define KEEPCLEAR_LOWER_OPERATE_H

#include "lower/sym.h"

/* The value of op (an operator of enum code_op with one or two operands;
 * right is ignored by NOT and NEGATE). */
flat_expr operate_value(struct flat_builder *b, enum code_op op,
                      flat_expr left, flat_expr right);

/* When op on these operands leaves the type or divides by zero: FALSE for
 * operators that cannot.  Exact also where the value itself leaves int64. */
flat_expr operate_error(struct flat_builder *b, const struct code_expr *expr,
                      flat_expr left, flat_expr right);

/* A number for a value of the type, in the order of these: of an LWORD that
 * whose bit 63 is turned over, else the value itself. */
flat_expr operate_order(struct flat_builder *b, const struct type *type,
                        flat_expr value);

/* When value does not lie in the type. */
flat_expr operate_outside(struct flat_builder *b, const struct type *type,
                        flat_expr value);

#endif
