/* bits.h - sets of combinations of K bits, as bitmaps of 2^K bits.
 *
 * With K = 0 a bitmap has no words and every set is full.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_BITS_H
#define KEEPCLEAR_ENGINE_TILES_BITS_H

#include <stdbool.h>
#include <stdint.h>

enum { BITS_MOST = 10, BITS_MOST_WORDS = 1 << (BITS_MOST - 6) };

/* Words of a bitmap over k <= BITS_MOST bits. */
uint32_t bits_words(uint32_t k);

/* All combinations. */
void bits_fill(uint32_t k, uint64_t *set);

/* Keeps of set the combinations in which bit t is `on`. */
void bits_select(uint32_t k, uint64_t *set, uint32_t t, bool on);

/* Makes bit t free: a combination with it on or off gives both. */
void bits_free(uint32_t k, uint64_t *set, uint32_t t);

/* How many; 1 when k is 0. */
uint64_t bits_count(uint32_t k, const uint64_t *set);

/* Some combination in which bit t is `on`? */
bool bits_has(uint32_t k, const uint64_t *set, uint32_t t, bool on);

#endif
