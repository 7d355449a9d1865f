/* hash.h - mixing of machine words; fixed, the same on every machine. */
#ifndef KEEPCLEAR_BASE_HASH_H
#define KEEPCLEAR_BASE_HASH_H

#include <stddef.h>
#include <stdint.h>

/* A well mixed hash of one word (finaliser of MurmurHash3, public domain,
 * constants from memory). */
uint64_t hash_word(uint64_t word);

/* A hash of n words, dependent on their order. */
uint64_t hash_words(const uint64_t *words, size_t n);

/* A hash of n bytes. */
uint64_t hash_bytes(const char *bytes, size_t n);

#endif
