/* flow.h - where the next value of a cell comes from: what it is set to, and
 * by how much it is moved. */
#ifndef KEEPCLEAR_LOGIC_FLOW_H
#define KEEPCLEAR_LOGIC_FLOW_H

#include "base/vec.h"
#include "logic/range.h"
#include "logic/slice.h"

/* A value v made from what a cell holds, c.  It lies in `value`, or is c
 * moved: no higher than c or both c + step.high and most, whichever is the
 * larger, and no lower than c or both c + step.low and least. */
struct flow_part {
    bool has_value, has_step;
    struct range value, step;
    int64_t most, least; /* INT64_MIN and INT64_MAX: it is not moved so */
};

/* The nodes through which a cell's value comes to its next value, ascending:
 * operands of sums and of choices between values. */
struct flow_list {
    const flat_expr *at;
    uint32_t n;
};

struct flow {
    const struct slice *slice;
    struct range *box;      /* per cell: what it can hold; the caller's */
    struct range *range;    /* per node */
    struct flow_part *part; /* per node: scratch */
    struct flow_list *list; /* per cell; empty: it does not keep itself */
};

/* Lies in the arena. */
struct flow *flow_new(struct arena *arena, const struct slice *slice);

/* Fills `range` from `box`. */
void flow_ranges(struct flow *flow);

/* The next value of a cell, under the ranges filled last. */
struct flow_part flow_of(struct flow *flow, uint32_t cell);

#endif
