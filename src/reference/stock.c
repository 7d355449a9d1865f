#include "reference/stock.h"

#include <string.h>

#include "base/ensure.h"
#include "base/hash.h"
#include "base/vec.h"

struct stock {
    size_t words;
    uint32_t count;
    VEC(int64_t) keys;
    VEC(uint32_t) table; /* number + 1, 0: free; a power of two long */
};

static void make_table(struct stock *store, size_t size)
{
    vec_clear(&store->table);
    vec_reserve(&store->table, size);
    memset(store->table.at, 0, size * sizeof *store->table.at);
    store->table.n = size;
}

struct stock *stock_new(size_t words)
{
    VEC(struct stock) one = {0};

    vec_reserve(&one, 1);
    memset(one.at, 0, sizeof *one.at);
    one.at->words = words;
    make_table(one.at, 1024);
    return one.at;
}

void stock_free(struct stock *store)
{
    if (!store)
        return;
    vec_release(&store->keys);
    vec_release(&store->table);
    vec_free(store);
}

const int64_t *stock_key(const struct stock *store, uint32_t number)
{
    ENSURE(number < store->count);
    return store->keys.at + (size_t)number * store->words;
}

/* The place in the table where a key is, or where it belongs. */
static size_t probe(const struct stock *store, const int64_t *key)
{
    size_t mask = store->table.n - 1;
    size_t at = hash_words((const uint64_t *)key, store->words) & mask;

    for (;; at = (at + 1) & mask) {
        uint32_t held = store->table.at[at];

        if (held == 0 || store->words == 0 ||
            memcmp(stock_key(store, held - 1), key,
                   store->words * sizeof *key) == 0)
            return at;
    }
}

static void grow(struct stock *store)
{
    make_table(store, store->table.n * 2);
    for (uint32_t i = 0; i < store->count; i++)
        store->table.at[probe(store, stock_key(store, i))] = i + 1;
}

uint32_t stock_find(const struct stock *store, const int64_t *key)
{
    uint32_t held = store->table.at[probe(store, key)];

    return held ? held - 1 : STORE_NONE;
}

uint32_t stock_add(struct stock *store, const int64_t *key)
{
    size_t at = probe(store, key);

    if (store->table.at[at])
        return store->table.at[at] - 1;
    ENSURE(store->count < UINT32_MAX - 1);
    vec_reserve(&store->keys, store->keys.n + store->words + 1);
    if (store->words)
        memcpy(store->keys.at + store->keys.n, key,
               store->words * sizeof *key);
    store->keys.n += store->words;
    store->table.at[at] = ++store->count;
    if ((size_t)store->count * 2 > store->table.n)
        grow(store);
    return store->count - 1;
}

uint32_t stock_count(const struct stock *store)
{
    return store->count;
}
