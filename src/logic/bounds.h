/* bounds.h - which values stored cells can have at all, by following ranges
 * from the first scan on. */
#ifndef KEEPCLEAR_LOGIC_BOUNDS_H
#define KEEPCLEAR_LOGIC_BOUNDS_H

#include "logic/flat.h"
#include "logic/range.h"

struct flat_builder;

/* first and next: per cell, its value after the first judging and after a
 * later one.  declared: per cell, every value it can store.  range: result,
 * per cell, never wider than declared, a single value for a cell that
 * always keeps it. */
void bounds_find(const struct flat_builder *table, uint32_t n_cells,
                 const flat_expr *first, const flat_expr *next,
                 const struct range *declared, struct range *range);

#endif
