/* order.h - where the bits of a slice stand among the variables of a
 * diagram. */
#ifndef KEEPCLEAR_BENCH_ORDER_H
#define KEEPCLEAR_BENCH_ORDER_H

#include <stdint.h>

#include "logic/slice.h"

struct order {
    const struct slice *slice;
    uint32_t n;             /* variables */
    uint32_t *cell_bits;    /* per cell */
    uint32_t **now;         /* per cell and bit, the highest first: variable
                               of this scan; that of the next one follows */
    uint32_t *choice_bits;
    uint32_t **choice;      /* per row and bit */
};

/* seed 0: declaration order, each choice before the first cell that reads
 * it.  Else the bits of the cells in a random order, choices first. */
void order_init(struct order *order, const struct slice *slice,
                uint32_t seed);

#endif
