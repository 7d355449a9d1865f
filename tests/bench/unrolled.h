/* unrolled.h - the question as a problem for z3: one more scan at a time
 * until the watch can hold. */
#ifndef KEEPCLEAR_BENCH_UNROLLED_H
#define KEEPCLEAR_BENCH_UNROLLED_H

#include <stdbool.h>
#include <stdint.h>

struct found;
struct slice;
struct text;

/* Appends the problem, depths 1 to `depth`, in SMT-LIB. */
void unrolled_write(struct text *out, const struct slice *slice,
                    uint32_t depth);

/* Runs z3 on it, depths asked in turn within one run.  most_seconds: of the
 * processor.  found: seconds, watch_level (0: not found in time), expanded:
 * depths that were excluded. */
void unrolled_run(const struct slice *slice, uint32_t depth,
                  double most_seconds, struct found *found);

bool unrolled_here(void); /* is z3 installed? */

#endif
