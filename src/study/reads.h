/* reads.h - the cells that a watch of the flat logic leans on: a look ahead
 * at the size of its slice.
 *
 * It takes no slice to be built, so it is cheap, and no more than a guess:
 * for ordering and grouping questions, never for what is answered.
 */
#ifndef KEEPCLEAR_STUDY_READS_H
#define KEEPCLEAR_STUDY_READS_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct flat;

struct reads {
    const uint64_t *cells; /* a bit per cell of the flat logic */
    uint32_t n_words, n;   /* bits that are set */
    uint32_t n_nodes;      /* nodes of the flat logic that are read */
};

/* Closed under reading, with the assumptions that share a cell or a choice.
 * Lies in the arena. */
struct reads reads_of(struct arena *arena, const struct flat *flat,
                      uint32_t watch);

/* Of one flat logic: is all of a in b? */
bool reads_within(const struct reads *a, const struct reads *b);

/* How many cells both together have. */
uint32_t reads_together(const struct reads *a, const struct reads *b);

/* Adds those of b to a copy of a; nodes: those of the larger one. */
struct reads reads_join(struct arena *arena, const struct reads *a,
                        const struct reads *b);

#endif
