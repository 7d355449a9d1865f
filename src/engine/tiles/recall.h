/* recall.h - what a section made of what it read, remembered.
 *
 * A record is a run of words that begins with its key.  Where remembering
 * does not pay, or there are no bytes left, the memo gives up.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_RECALL_H
#define KEEPCLEAR_ENGINE_TILES_RECALL_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/budget.h"

struct memo {
    struct budget *budget;
    uint32_t key_words;
    uint32_t *slots;    /* 0: empty, else where its record begins, + 1 */
    uint64_t n_slots, n_records;
    uint64_t *pool;
    uint64_t used, room; /* words of the pool */
    uint64_t hits, misses;
    bool given_up;
    bool cheap; /* working out takes no longer than looking up */
};

void recall_init(struct memo *memo, struct budget *budget,
               uint32_t key_words);
void recall_release(struct memo *memo);

/* The record with this key, or NULL. */
const uint64_t *recall_find(struct memo *memo, const uint64_t *key);

/* Remembers a record of n words, its key first, if that pays. */
void recall_add(struct memo *memo, const uint64_t *record, uint64_t n);

#endif
