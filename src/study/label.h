/* label.h - what the ways along one edge of a diagram have in common.
 *
 * A way is one scan.  It is noted as a box: per condition (a control, a
 * movement, a fault, power) the set of values, a bit each, with which this
 * scan leads along the edge, all bits where the condition was not asked.
 * The union of all boxes is exactly the combinations that may lead along;
 * it is kept as a list of boxes and made small in the end.
 */
#ifndef KEEPCLEAR_STUDY_LABEL_H
#define KEEPCLEAR_STUDY_LABEL_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"

struct arena;

/* More groups than these are not told apart in words. */
enum { LABEL_MOST_GROUPS = 3 };

/* Ways being gathered; owned by the caller. */
struct gathering {
    const uint64_t *full;  /* per condition: all its values */
    uint32_t n;            /* conditions */
    VEC(uint64_t) boxes;   /* n words each */
    VEC(uint64_t) common;  /* n words, the hull of all */
    bool too_many;         /* boxes were given up, the hull is right */
};

/* What is left: each word a set of values, full where nothing is said. */
struct label {
    const uint64_t *common;  /* every way has a value of each of these sets */
    const uint64_t *groups;  /* n_groups boxes of n words, whose union is
                                exactly all ways; none can be left out, and
                                none can be widened */
    uint32_t n_groups;       /* 1 .. LABEL_MOST_GROUPS, or 0: more than that,
                                only `common` is known */
};

/* full: a word per condition, borrowed; no word may be 0. */
void gathering_init(struct gathering *gathering, const uint64_t *full,
                    uint32_t n);
void gathering_release(struct gathering *gathering);

/* Adds one way: n words, none of them 0. */
void gathering_add(struct gathering *gathering, const uint64_t *box);

/* The label of at least one way; lies in the arena. */
struct label gathering_label(struct gathering *gathering,
                             struct arena *arena);

#endif
