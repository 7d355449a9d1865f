/* real.h - comparisons of REALs (check/type.h says what their values are). */
#ifndef KEEPCLEAR_LOWER_REAL_H
#define KEEPCLEAR_LOWER_REAL_H

#include "check/code.h"
#include "logic/build.h"

/* left op right (CODE_EQ .. CODE_GE).  order: how two that lie in the same
 * gap between numbers compare, -1, 0 or 1; FLAT_NONE where one of the two is
 * a constant. */
flat_expr real_compare(struct flat_builder *b, enum code_op op,
                       flat_expr left, flat_expr right, flat_expr order);

/* The REAL as a whole number (CODE_ROUND), rounded as ROUNDING_ how; row: how
 * it comes out where that is not known. */
flat_expr real_rounded(struct flat_builder *b, const struct code_expr *expr,
                       uint32_t how, flat_expr real, flat_expr row);

/* MIN, MAX or LIMIT of n REALs: value, but where one is not-a-number the
 * operand that `pick` says, -1 the first. */
flat_expr real_picked(struct flat_builder *b, flat_expr value,
                      const flat_expr *operand, uint32_t n, flat_expr pick);

#endif
