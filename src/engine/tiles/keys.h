/* keys.h - a few words as a key. */
#ifndef KEEPCLEAR_ENGINE_TILES_KEYS_H
#define KEEPCLEAR_ENGINE_TILES_KEYS_H

#include <stdbool.h>
#include <stdint.h>

/* Cheaper than hash_words, and well mixed in all its bits. */
uint64_t keys_hash(const uint64_t *words, uint32_t n);

/* Which of n shares a key belongs to, by what is in a mask of it. */
uint32_t keys_owner(const uint64_t *words, const uint64_t *mask,
                    uint32_t n_words, uint32_t n);

bool keys_same(const uint64_t *a, const uint64_t *b, uint32_t n);

#endif
