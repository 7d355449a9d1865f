/* random_slice.h - random slices, for tests that compare engines with each
 * other or with plain enumeration. */
#ifndef KEEPCLEAR_TESTS_RANDOM_SLICE_H
#define KEEPCLEAR_TESTS_RANDOM_SLICE_H

#include "engine/explore.h"
#include "tests/support/hand_slice.h"

enum {
    RANDOM_MOST_ROWS = 10,
    RANDOM_MOST_CELLS = 4,
    RANDOM_MOST_VECTORS = 800 /* choices of one scan together */
};

struct random_slice {
    struct hand h;
    uint64_t seed;
    flat_expr cell[RANDOM_MOST_CELLS], row[RANDOM_MOST_ROWS];
    uint32_t n_cells, n_rows;
};

/* The slice of a seed, in `h`: some rows and cells, three watches, one value,
 * up to three assumptions and two ends.  Released with hand_release(&h). */
void random_slice_make(struct random_slice *slice, uint64_t seed);

/* Fixes some choices. */
void random_slice_fix(struct random_slice *slice,
                      struct explore_setting *setting);

/* The next random number below n. */
uint32_t random_pick(struct random_slice *slice, uint32_t n);

#endif
