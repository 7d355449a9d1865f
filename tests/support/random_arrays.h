/* random_arrays.h - random programs with arrays, structures, instances in
 * arrays and indices that are computed, each beside its translation to C.
 *
 * The translation is written from the rules of docs/notes/step.md by hand and
 * knows nothing of the code under test; a run-time error leaves the scan by
 * longjmp (stop).
 */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_ARRAYS_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_ARRAYS_H

#include <stdint.h>

struct arena;

struct random_arrays {
    const char *control; /* inputs of Main: n, k (0 .. 4), p, q */
    const char *c; /* struct G<number>: int64_t in the order of the globals
                      and of Main's variables; start<number>, scan<number> */
};

/* What all translations need before them. */
const char *random_arrays_prelude(void);

struct random_arrays random_arrays(struct arena *arena, uint64_t seed,
                                   unsigned number);

#endif
