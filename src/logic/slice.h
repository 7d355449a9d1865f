/* slice.h - the part of the flat logic that a question reads.
 *
 * Closed under reading, with every assumption that shares a cell or a choice
 * with it, directly or through others.  A slice is what an engine explores:
 * it is complete in itself and holds no holes.
 */
#ifndef KEEPCLEAR_LOGIC_SLICE_H
#define KEEPCLEAR_LOGIC_SLICE_H

#include "logic/flat.h"
#include "logic/request.h"

struct flat_builder;

/* A cell of the slice. */
struct slice_cell {
    uint32_t cell;        /* number in the flat logic */
    int64_t low, high, unit;
    flat_expr node;       /* the FLAT_CELL leaf in `nodes` */
    flat_expr first, next;/* value after the first judging / a later one */
    flat_expr uncut;      /* next is the smaller of this and a constant that
                             is not below high; or it is next itself */
};

/* A root that is evaluated in every scan, in a form for the first scan and
 * one for the others. */
struct slice_root {
    uint32_t number;      /* watch, assumption, value or motion number */
    flat_expr first, next;
};

struct slice {
    /* Own node table: only what is reachable from the roots, renumbered,
     * children before parents.  Cell leaves carry the slice's cell number in
     * `a`, choice leaves the choice row of the flat logic. */
    const struct flat_node *nodes;       uint32_t n_nodes;
    const struct flat_choice *choices;   uint32_t n_choices; /* of the flat */
    const bool *used;                    /* per choice: read by the slice */
    const struct slice_cell *cells;      uint32_t n_cells;
    const struct slice_root *assumptions; uint32_t n_assumptions;
    const struct slice_root *ends;       uint32_t n_ends;
    const struct slice_root *watches;    uint32_t n_watches;
    const struct slice_root *values;     uint32_t n_values;
    const struct slice_root *motions;    uint32_t n_motions;
    uint32_t faults;
    bool has_times; /* movement times count in it */
    uint32_t n_cut; /* cells that logic/saturate.h cut */
};

/* Builds a slice; all of it lies in the arena.  The builder is the one that
 * made the flat logic and gets further nodes. */
const struct slice *slice_build(struct arena *arena,
                                struct flat_builder *builder,
                                const struct flat *flat,
                                const struct slice_request *request);

/* The assumptions that lie outside the slice, grouped by what they share:
 * group[i] gets the group number of assumption i counted from 0, FLAT_NONE
 * for those inside or dropped; the result is the number of groups. */
uint32_t slice_outside(struct flat_builder *builder, const struct flat *flat,
                       const struct slice *slice,
                       const struct slice_request *request,
                       uint32_t *group);

#endif
