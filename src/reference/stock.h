/* stock.h - a set of keys of equal length, numbered in order of arrival.
 *
 * Keys are kept whole and compared whole; the hash only says where to look.
 */
#ifndef KEEPCLEAR_REFERENCE_STOCK_H
#define KEEPCLEAR_REFERENCE_STOCK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct stock;

#define STORE_NONE UINT32_MAX

/* An empty store for keys of so many words; never NULL. */
struct stock *stock_new(size_t words);
void stock_free(struct stock *store);

/* The number of a key, which is copied when it is new. */
uint32_t stock_add(struct stock *store, const int64_t *key);

/* The number of a key, or STORE_NONE. */
uint32_t stock_find(const struct stock *store, const int64_t *key);

uint32_t stock_count(const struct stock *store);

/* A key by number; valid until the next stock_add. */
const int64_t *stock_key(const struct stock *store, uint32_t number);

#endif
