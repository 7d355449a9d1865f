/* shape.h - one form of a slice (first scan or later ones) as a writer of
 * other languages needs it: which nodes are reached, and what they read. */
#ifndef KEEPCLEAR_BENCH_SHAPE_H
#define KEEPCLEAR_BENCH_SHAPE_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/slice.h"

struct shape {
    const struct slice *slice;
    bool first;
    bool *reached;    /* per node */
    bool *on_choice;  /* per node: it depends on a choice */
    uint32_t *uses;   /* per node: by reached nodes and roots */
    bool *reads;      /* n_nodes rows of n_choices: does the node depend on
                         the choice */
};

void shape_init(struct shape *shape, const struct slice *slice, bool first);
void shape_release(struct shape *shape);

/* The node of a root. */
flat_expr shape_root(const struct shape *shape, const struct slice_root *root);
flat_expr shape_cell(const struct shape *shape, uint32_t cell);

bool shape_reads(const struct shape *shape, flat_expr node, uint32_t row);

/* How a slice's cells lie in words of 64 bits, the last of which has a bit
 * to spare. */
struct field {
    uint32_t word, shift, bits;
    uint64_t most; /* largest number of units above low */
};

/* Returns the number of words; fields: one per cell. */
uint32_t shape_pack(const struct slice *slice, struct field *fields);

uint32_t bits_of(uint64_t most);

#endif
