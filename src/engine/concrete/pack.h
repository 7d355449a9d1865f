/* pack.h - situations as words of bits.
 *
 * Each cell of a slice has just enough bits for its values, and lies within
 * one word.  A value that its cell cannot hold is moved to the nearest one
 * that it can: that happens only behind a run-time error (a subrange that
 * is left, say) which is not an end of the slice at hand.  pack_put says when
 * it did, so that nobody takes such a run for more than it is.
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_PACK_H
#define KEEPCLEAR_ENGINE_CONCRETE_PACK_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct slice;

struct pack_field {
    int64_t low, high;
    uint64_t unit, most; /* most: the largest number of units above low */
    uint32_t word, shift, bits;
};

struct pack {
    uint32_t n_words; /* of a situation, at least 1 */
    uint32_t n_fields;
    const struct pack_field *fields; /* per cell of the slice */
};

/* Lies in the arena. */
const struct pack *pack_new(struct arena *arena, const struct slice *slice);

/* Adds a value to words whose bits of this cell are 0; false: moved. */
bool pack_put(const struct pack_field *field, uint64_t *words,
              int64_t value);

int64_t pack_get(const struct pack_field *field, const uint64_t *words);

#endif
