/* junction.h - AND, OR and exclusive OR of booleans, simplified. */
#ifndef KEEPCLEAR_LOGIC_JUNCTION_H
#define KEEPCLEAR_LOGIC_JUNCTION_H

#include "logic/flat.h"

struct flat_builder;
struct facts;

/* op is FLAT_AND or FLAT_OR.  One side is looked at in the light of the
 * other: what it decides there vanishes. */
flat_expr junction(struct flat_builder *table, enum flat_op op, flat_expr a,
                   flat_expr b);

flat_expr junction_xor(struct flat_builder *table, flat_expr a, flat_expr b);

/* expr under the facts, a constant where they leave one value. */
flat_expr junction_under(struct flat_builder *table,
                         const struct facts *facts, flat_expr expr);

#endif
