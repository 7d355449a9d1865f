/* arith.h - arithmetic, simplified. */
#ifndef KEEPCLEAR_LOGIC_ARITH_H
#define KEEPCLEAR_LOGIC_ARITH_H

#include "logic/flat.h"

struct flat_builder;

/* op is FLAT_ADD .. FLAT_MEET. */
flat_expr arith(struct flat_builder *table, enum flat_op op, flat_expr a,
                flat_expr b);

#endif
