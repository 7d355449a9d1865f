/* bounds.h - which values stored cells can have at all, by following ranges
 * from the first scan on. */
#ifndef KEEPCLEAR_LOGIC_BOUNDS_H
#define KEEPCLEAR_LOGIC_BOUNDS_H

#include "logic/flat.h"
#include "logic/range.h"

struct flat_builder;

/* Per cell: its value after the first judging and after a later one, and
 * every value that it can store. */
struct bounds_cells {
    uint32_t n;
    const flat_expr *first, *next;
    const struct range *declared;
};

/* range: result, per cell, never wider than declared, a single value for a
 * cell that always keeps it. */
void bounds_find(const struct flat_builder *table,
                 const struct bounds_cells *cells, struct range *range);

#endif
