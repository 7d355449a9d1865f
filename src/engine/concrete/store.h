/* store.h - the situations seen so far, whole, numbered from 0 in order of
 * discovery. */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_STORE_H
#define KEEPCLEAR_ENGINE_CONCRETE_STORE_H

#include <stddef.h>
#include <stdint.h>

#define STORE_NONE UINT64_MAX

struct store;

enum store_result {
    STORE_NEW,
    STORE_KNOWN,
    STORE_FULL /* no memory, or the limit reached; nothing was added */
};

/* A store of situations of n_words each that may hold most_bytes (0: no
 * limit); never NULL. */
struct store *store_new(uint32_t n_words, uint64_t most_bytes);
void store_free(struct store *store);

/* Adds a situation; number (may be NULL) gets its number unless full. */
enum store_result store_add(struct store *store, const uint64_t *words,
                            uint64_t *number);

/* Its number or STORE_NONE. */
uint64_t store_find(const struct store *store, const uint64_t *words);

/* The words of a situation; valid as long as the store. */
const uint64_t *store_at(const struct store *store, uint64_t number);

uint64_t store_count(const struct store *store);

/* Bytes taken from the system. */
size_t store_bytes(const struct store *store);

#endif
