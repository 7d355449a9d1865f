/* plan.h - one form of a slice, laid out for evaluation.
 *
 * A slice has two forms: the first scan, which has no situation before it,
 * and every later scan.  A plan is one of them: only the nodes that its roots
 * read, renumbered so that children come before parents, with the way back
 * from a node to those that read it.
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_PLAN_H
#define KEEPCLEAR_ENGINE_CONCRETE_PLAN_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/slice.h"

struct arena;

/* What a plan covers besides assumptions, ends, watches and cells. */
enum plan_parts {
    PLAN_BARE = 0,
    PLAN_MOTIONS = 1, /* for costs */
    PLAN_VALUES = 2   /* for views */
};

struct plan_node {
    uint32_t a, b, c; /* a: cell or choice row of a leaf */
    uint32_t op;      /* enum flat_op */
};

/* Roots as node numbers of the plan, in the slice's order. */
struct plan_roots {
    const uint32_t *at;
    uint32_t n;
};

struct plan {
    bool first;
    uint32_t n_nodes;
    const struct plan_node *nodes;
    const int64_t *low, *high;   /* every value lies here; equal: constant */
    const bool *reads_cell;      /* per node */
    const bool *reads_other;     /* a choice that is not an input */
    const uint32_t *out_start;   /* parents of node i: out[out_start[i]] to */
    const uint32_t *out;         /* before out[out_start[i + 1]] */
    struct plan_roots cell_leaves;
    const struct flat_choice *choices;
    uint32_t n_choices;
    const uint32_t *row_start;   /* leaves of choice row i, as above */
    const uint32_t *row_leaf;
    struct plan_roots assumptions, ends, watches, cells, values, motions;
};

/* Is it an input: a choice that assumptions narrow? */
bool plan_is_input(enum flat_kind kind);

/* Where an undecided choice stands: at rest for inputs, at 0 for others. */
uint32_t plan_rest(const struct flat_choice *choice);

/* The place of a value in the canonical order: that at rest comes before all
 * others of an input. */
uint32_t plan_place(const struct flat_choice *choice, uint32_t index);

/* Lies in the arena and borrows from the slice.  parts: sum of enum
 * plan_parts. */
const struct plan *plan_new(struct arena *arena, const struct slice *slice,
                            bool first, unsigned parts);

#endif
