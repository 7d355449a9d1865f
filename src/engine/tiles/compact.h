/* compact.h - a set of keys of up to 64 bits in few bytes each.
 *
 * Keys are mixed one to one (mix.h).  Where a mixed key lies says its high
 * part, so that only the rest is kept: in a slot of 4 bytes, or of 8 as long
 * as there are too few places to tell enough.  No key is ever taken for
 * another.  It grows in its place.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_COMPACT_H
#define KEEPCLEAR_ENGINE_TILES_COMPACT_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/budget.h"

enum { COMPACT_BATCH = 32 };

struct compact;

/* Keys are below 2^bits, bits <= 64.  NULL: no bytes left. */
struct compact *compact_new(struct budget *budget, uint32_t bits);
void compact_free(struct compact *set);

/* Says which keys will be added soon: the memory is slow and can fetch many
 * places at once. */
void compact_fetch(const struct compact *set, const uint64_t *keys,
                   uint32_t n, uint32_t stride);

/* Adds n <= COMPACT_BATCH keys, `stride` words from one to the next; is_new
 * tells which were not there, as bits, first key lowest.  False: no bytes
 * left; the set must not be added to any more. */
bool compact_add(struct compact *set, const uint64_t *keys, uint32_t n,
                 uint32_t stride, uint32_t *is_new);

uint64_t compact_count(const struct compact *set);

/* One key after the other, in no order; at begins at 0.  False: no more. */
bool compact_each(const struct compact *set, uint64_t *at, uint64_t *key);

#endif
