/* store.h - a set of keys of equal length, numbered in order of arrival.
 *
 * Keys are kept whole and compared whole; the hash only says where to look.
 */
#ifndef KEEPCLEAR_REFERENCE_STORE_H
#define KEEPCLEAR_REFERENCE_STORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct store;

#define STORE_NONE UINT32_MAX

/* An empty store for keys of so many words; never NULL. */
struct store *store_new(size_t words);
void store_free(struct store *store);

/* The number of a key, which is copied when it is new. */
uint32_t store_add(struct store *store, const int64_t *key);

/* The number of a key, or STORE_NONE. */
uint32_t store_find(const struct store *store, const int64_t *key);

uint32_t store_count(const struct store *store);

/* A key by number; valid until the next store_add. */
const int64_t *store_key(const struct store *store, uint32_t number);

#endif
