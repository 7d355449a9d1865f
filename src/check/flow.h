/* flow.h - where values of numbers go: through copies, calls and parameters.
 *
 * Variables between which values are copied form one class.  A class whose
 * values meet nothing but constants needs one value per cell that these
 * constants cut, or one per pattern of the bits that are read alone; any use
 * that is not understood spoils the class.  SEL, MUX, MIN, MAX and LIMIT hand
 * one of their operands on, and so belong to the class of them all.
 *
 * REALs that are compared with one another form one class, too: it is cut
 * into the same cells for all of them, and at every constant that is stored
 * in one, so that of two in different cells it is known which is less.
 */
#ifndef KEEPCLEAR_CHECK_FLOW_H
#define KEEPCLEAR_CHECK_FLOW_H

#include "check/draft.h"

struct flow_mark {
    uint32_t node;
    int64_t cut; /* cuts: a cell begins here; bits: these are read */
    struct span span;
};

/* A REAL that is rounded; node: that of what is, or MODEL_NONE. */
struct flow_rounding {
    uint32_t node;
    const struct code_expr *expr;
};

struct flow {
    struct draft *draft;
    VEC(uint32_t) parent; /* classes, as a forest */
    VEC(uint32_t) frames; /* per unit: node of its offset 0 */
    uint32_t first_control, first_place;
    VEC(struct flow_mark) cuts, spoilt, bits;
    VEC(struct flow_mark) stored; /* cut: a constant stored in a REAL */
    VEC(uint32_t) met;            /* REALs compared with REALs: nodes */
    VEC(uint32_t) ordered;        /* whole numbers of which the greater or
                                     the lesser is taken: nodes */
    VEC(struct flow_rounding) rounded;
};

/* Follows all texts of the draft. */
void flow_follow(struct flow *flow, struct draft *draft);
void flow_release(struct flow *flow);

/* The node of a control's hand; that of a slot is its number. */
uint32_t flow_hand(const struct flow *flow, uint32_t control);

/* That of what an open place gives. */
uint32_t flow_place(const struct flow *flow, uint32_t place);

/* The class of a node. */
uint32_t flow_class(const struct flow *flow, uint32_t node);

#endif
