/* spread.h - between which values each cell lies over all situations. */
#ifndef KEEPCLEAR_ENGINE_SETS_SPREAD_H
#define KEEPCLEAR_ENGINE_SETS_SPREAD_H

#include <stdbool.h>

struct sets;

/* Fills low and high of the reach of a complete run; without a situation the
 * range of a cell is its lowest value.  False: the guard did not pass, and
 * they stay NULL. */
bool spread_find(struct sets *sets);

#endif
