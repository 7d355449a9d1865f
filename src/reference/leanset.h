/* leanset.h - sets of bits that are made once and shared. */
#ifndef KEEPCLEAR_REFERENCE_LEANSET_H
#define KEEPCLEAR_REFERENCE_LEANSET_H

#include <stdbool.h>
#include <stdint.h>

struct arena;

/* Never changed once it is made. */
typedef const uint64_t *leans_set;

/* What all sets of one size have in common; lies in an arena. */
struct leanset_room {
    uint32_t size; /* words of a set */
    const uint64_t *single;
    leans_set none, all;
};

void leanset_init(struct leanset_room *room, struct arena *arena,
                  uint32_t bits);

bool leans_has(leans_set set, uint32_t bit);

/* The set of one bit. */
leans_set leanset_single(const struct leanset_room *room, uint32_t bit);

/* All of both; a new one lies in the arena. */
leans_set leanset_both(const struct leanset_room *room, struct arena *arena,
                       leans_set a, leans_set b);

/* The one of two that has fewer bits beyond those known (NULL: none are);
 * the first where that is equal. */
leans_set leanset_cheaper(const struct leanset_room *room, leans_set a,
                          leans_set b, leans_set known);

#endif
