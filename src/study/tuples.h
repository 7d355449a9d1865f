/* tuples.h - numbering of equal tuples of words: 0, 1, 2, ... in order of
 * first appearance. */
#ifndef KEEPCLEAR_STUDY_TUPLES_H
#define KEEPCLEAR_STUDY_TUPLES_H

#include <stdint.h>

#include "base/vec.h"

/* All zero but for the width is empty and valid. */
struct tuples {
    uint32_t width;       /* words per tuple, may be 0 */
    uint32_t n;
    VEC(uint64_t) words;  /* width * n */
    VEC(uint32_t) places; /* open addressing: number + 1, 0 free */
};

/* The number of the tuple with these words, which is added when new. */
uint32_t tuples_number(struct tuples *tuples, const uint64_t *words);

/* The words of tuple number i; valid until the next is added. */
const uint64_t *tuples_at(const struct tuples *tuples, uint32_t i);

void tuples_release(struct tuples *tuples);

#endif
