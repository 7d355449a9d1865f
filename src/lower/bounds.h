/* bounds.h - what a variable can hold, found before the logic is built.
 *
 * An interval and a common divisor per slot that its initial value and every
 * next value keep: the logic is made again and again, each time with the
 * intervals the last one showed to be too small widened, until none is.
 * A variable of one value only needs no cell, and an INT that is 0, 10 or 20
 * needs two bits.
 */
#ifndef KEEPCLEAR_LOWER_BOUNDS_H
#define KEEPCLEAR_LOWER_BOUNDS_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/build.h"

struct arena;
struct flat_choice;
struct model;

struct bounds {
    int64_t low, high; /* low <= every value <= high */
    int64_t unit;      /* every value is a multiple; 0: it is always 0 */
};

/* Intervals that hold what each slot has before the first scan and nothing
 * else; in the arena, n_slots of them. */
struct bounds *bounds_new(struct arena *arena, const struct model *model);

/* For each expression of the builder a common divisor of its values; cells
 * by the unit of their slot, by_cell (n_cells of them).  In the arena. */
int64_t *bounds_units(struct arena *arena,
                      const struct flat_builder *builder,
                      const struct model *model, const int64_t *by_cell);

/* Widens bounds so that it holds found too, in one step; from round 3 on to
 * the whole type, so that widening ends.  True when it changed. */
bool bounds_widen(struct bounds *bounds, struct bounds found,
                  int64_t type_low, int64_t type_high, unsigned round);

/* The same with low and high moved inwards to multiples of unit, there being
 * one between them, and unit at least 1.  So a BOOL that is always a multiple
 * of 2 stays one. */
struct bounds bounds_aligned(struct bounds bounds);

/* ms rounded up to whole scans, or to whole steps of theirs; needs
 * 0 <= ms. */
int64_t bounds_whole_scans(int64_t ms, int64_t scan);

#endif
