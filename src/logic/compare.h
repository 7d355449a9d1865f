/* compare.h - comparisons of any values, simplified. */
#ifndef KEEPCLEAR_LOGIC_COMPARE_H
#define KEEPCLEAR_LOGIC_COMPARE_H

#include "logic/flat.h"

struct flat_builder;

/* op is FLAT_EQ, FLAT_LT or FLAT_LE. */
flat_expr compare(struct flat_builder *table, enum flat_op op, flat_expr a,
                  flat_expr b);

#endif
