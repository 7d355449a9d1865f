/* implied.h - what a condition says about the range of a value. */
#ifndef KEEPCLEAR_LOGIC_IMPLIED_H
#define KEEPCLEAR_LOGIC_IMPLIED_H

#include "logic/range.h"

struct implied {
    const struct flat_node *nodes;
    const struct range *range; /* per node: its values lie there */
};

/* Where `condition` holds (or does not), `value` lies in the result: from
 * comparisons of it, plus or minus a constant, that stand in an AND (an OR).
 * Everything where nothing is seen. */
struct range implied_range(const struct implied *implied,
                           flat_expr condition, bool holds, flat_expr value);

#endif
