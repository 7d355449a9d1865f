/* choose.h - ITE, simplified. */
#ifndef KEEPCLEAR_LOGIC_CHOOSE_H
#define KEEPCLEAR_LOGIC_CHOOSE_H

#include "logic/flat.h"

struct flat_builder;

/* condition ? yes : no, for a boolean condition. */
flat_expr choose(struct flat_builder *table, flat_expr condition,
                 flat_expr yes, flat_expr no);

#endif
