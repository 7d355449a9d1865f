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
#include <stddef.h>
#include <stdint.h>

#include "base/vec.h"

struct arena;

/* More groups than these are not told apart in words; where each group asks
 * for one thing besides what all have in common, more can be read. */
enum { LABEL_MOST_GROUPS = 3, LABEL_MOST_SINGLE = 8 };

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
                                exactly all ways, and combinations that
                                never occur; none can be left out, and none
                                can be widened */
    uint32_t n_groups;       /* 0: too many, only `common` is known */
};

/* Combinations that no scan at all has, so that a label need not exclude
 * them: boxes of n words. */
struct never {
    const uint64_t *boxes;
    size_t count;
};

/* full: a word per condition, borrowed; no word may be 0. */
void gathering_init(struct gathering *gathering, const uint64_t *full,
                    uint32_t n);
void gathering_release(struct gathering *gathering);

/* Adds one way: n words, none of them 0. */
void gathering_add(struct gathering *gathering, const uint64_t *box);

/* What none of the gathered ways has; lies in the arena.  Empty where that
 * is too much to tell. */
struct never gathering_never(struct gathering *gathering,
                             struct arena *arena);

/* The label of at least one way; lies in the arena.  never: NULL for none;
 * no gathered way may lie in it. */
struct label gathering_label(struct gathering *gathering,
                             const struct never *never,
                             struct arena *arena);

#endif
