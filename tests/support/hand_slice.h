/* hand_slice.h - slices written by hand, for tests of the engine.
 *
 * Nodes are made in the order of the calls; ranges are computed here and not
 * by the logic under test.
 */
#ifndef KEEPCLEAR_TESTS_HAND_SLICE_H
#define KEEPCLEAR_TESTS_HAND_SLICE_H

#include "base/vec.h"
#include "logic/slice.h"

struct arena;

struct hand {
    struct arena *arena;
    VEC(struct flat_node) nodes;
    VEC(struct flat_choice) choices;
    VEC(flat_expr) choice_leaf;
    VEC(struct slice_cell) cells;
    VEC(struct slice_root) assumptions, ends, watches, values, motions;
    struct slice slice;
};

void hand_init(struct hand *hand);
void hand_release(struct hand *hand);

/* The leaf of a new choice with values 0, 1, .. count - 1. */
flat_expr hand_choice(struct hand *hand, enum flat_kind kind,
                      uint32_t count, uint32_t rest);

/* The leaf of a new cell; its next values are set by hand_next. */
flat_expr hand_cell(struct hand *hand, int64_t low, int64_t high,
                    int64_t unit);
void hand_next(struct hand *hand, flat_expr cell, flat_expr first,
               flat_expr next);

flat_expr hand_const(struct hand *hand, int64_t value);
flat_expr hand_op(struct hand *hand, enum flat_op op, flat_expr a,
                  flat_expr b);
flat_expr hand_ite(struct hand *hand, flat_expr a, flat_expr b,
                   flat_expr c);

/* Each takes the form of the first scan and that of the later ones, and
 * gives back its number. */
uint32_t hand_assume(struct hand *hand, flat_expr first, flat_expr next);
uint32_t hand_end(struct hand *hand, flat_expr first, flat_expr next);
uint32_t hand_watch(struct hand *hand, flat_expr first, flat_expr next);
uint32_t hand_value(struct hand *hand, flat_expr first, flat_expr next);
uint32_t hand_motion(struct hand *hand, flat_expr first, flat_expr next);

/* The slice; valid until the next call of any of these. */
const struct slice *hand_slice(struct hand *hand);

#endif
