/* random_counter.h - random slices with counters: cells that are set, kept
 * and counted up, compared with constants, and stored no larger than they
 * can hold; and a plain walk over them. */
#ifndef KEEPCLEAR_TESTS_RANDOM_COUNTER_H
#define KEEPCLEAR_TESTS_RANDOM_COUNTER_H

#include "tests/support/hand_slice.h"

enum { COUNTER_WATCHES = 3, COUNTER_HIGH = 40 };

struct random_counter {
    struct hand h;
    uint64_t seed;
    flat_expr row[3], counter[2], flag;
};

/* cut: what does not fit is stored as COUNTER_HIGH; else it does not fit its
 * cell.  Released with hand_release(&h). */
void random_counter_make(struct random_counter *slice, uint64_t seed,
                         bool cut);

/* The level at which each watch first holds, 0: never, by trying every
 * choice in every situation; a path ends where an assumption does not hold,
 * an end does, or a value does not fit its cell.  *situations: those met. */
void random_counter_walk(const struct slice *slice,
                         uint32_t level[COUNTER_WATCHES],
                         uint32_t *situations);

#endif
