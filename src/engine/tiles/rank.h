/* rank.h - keys one behind the other, in as few whole bytes as they need.
 *
 * What was read is given back while the rest is read.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_RANK_H
#define KEEPCLEAR_ENGINE_TILES_RANK_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "engine/tiles/budget.h"

struct rank {
    struct budget *budget;
    uint32_t key_bytes, per_chunk;
    VEC(unsigned char *) chunks; /* NULL: given back */
    uint64_t n, room; /* room: bytes of a first, smaller chunk */
};

void rank_init(struct rank *rank, struct budget *budget, uint32_t bits);

/* Takes all out. */
void rank_clear(struct rank *rank);

/* Gives all back; to be initialised anew. */
void rank_release(struct rank *rank);

/* False: no bytes left. */
bool rank_push(struct rank *rank, uint64_t key);

/* Key number i < n.  Whoever reads one does not come back to those
 * before. */
uint64_t rank_take(struct rank *rank, uint64_t i);

/* The same without giving anything back. */
uint64_t rank_look(const struct rank *rank, uint64_t i);

#endif
