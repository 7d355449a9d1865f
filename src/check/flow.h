/* flow.h - where values of numbers go: through copies, calls and parameters.
 *
 * Variables between which values are copied form one class.  A class whose
 * values meet nothing but constants needs one value per cell that these
 * constants cut, or one per pattern of the bits that are read alone; any use
 * that is not understood spoils the class.
 */
#ifndef KEEPCLEAR_CHECK_FLOW_H
#define KEEPCLEAR_CHECK_FLOW_H

#include "check/draft.h"

struct flow_mark {
    uint32_t node;
    int64_t cut; /* cuts: a cell begins here; bits: these are read */
    struct span span;
};

struct flow {
    struct draft *draft;
    VEC(uint32_t) parent; /* classes, as a forest */
    VEC(uint32_t) frames; /* per unit: node of its offset 0 */
    uint32_t first_control;
    VEC(struct flow_mark) cuts, spoilt, bits;
};

/* Follows all texts of the draft. */
void flow_follow(struct flow *flow, struct draft *draft);
void flow_release(struct flow *flow);

/* The node of a control's hand; that of a slot is its number. */
uint32_t flow_hand(const struct flow *flow, uint32_t control);

/* The class of a node. */
uint32_t flow_class(const struct flow *flow, uint32_t node);

#endif
