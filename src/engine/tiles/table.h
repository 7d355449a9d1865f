/* table.h - the situations reached so far.
 *
 * A tile is a situation without its tile bits; with it go the combinations
 * of these that were reached, and those first reached in the level that is
 * being filled.  Without tile bits there are no bitmaps.  Tiles are numbered
 * in order of discovery and never move; but where there are no bitmaps and a
 * situation is one word, they are kept in a compact set (compact.h), and only
 * of the first ones it is known in which order they came.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_TABLE_H
#define KEEPCLEAR_ENGINE_TILES_TABLE_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/budget.h"

struct table;

/* To n tables, by keys_owner with this mask. */
struct deal {
    struct table **to;
    uint32_t n;
    const uint64_t *mask;
};

enum { TABLE_FIRST = 1 << 16 };

/* For situations of one word below 2^bits.  NULL: no bytes left. */
struct table *table_of_bits(struct budget *budget, uint32_t bits);

/* NULL: no bytes left. */
struct table *table_new(struct budget *budget, uint32_t n_words,
                        uint32_t tile_bits);
void table_free(struct table *table);

/* Adds n entries, `stride` words each: they begin with their words and end
 * with their bitmap; new situations are added to *found.  False: no bytes left;
 * some were added. */
bool table_add(struct table *table, const uint64_t *entries, uint32_t n,
               uint32_t stride, uint64_t *found);

/* What was found since the last call becomes the level to walk over.
 * False: no bytes left. */
bool table_turn(struct table *table);

/* Tiles of that level; entry gets words and the new combinations.  Whoever
 * asks for one does not come back to those before. */
uint64_t table_level(const struct table *table);
void table_level_at(struct table *table, uint64_t i, uint64_t *entry);

/* Between two levels: deals all that is in it out to new tables, and what
 * the level to walk over is.  False: no bytes left; `from` is as before, and
 * the others are of no use. */
bool table_deal(const struct table *from, const struct deal *deal);

uint64_t table_count(const struct table *table);

/* The tile with a number below TABLE_FIRST: words, then all combinations. */
const uint64_t *table_at(const struct table *table, uint64_t number);

/* One tile after the other, in no order; at begins at 0; entry gets words and
 * all combinations.  False: no more. */
bool table_each(const struct table *table, uint64_t *at, uint64_t *entry);

#endif
