/* table.h - the situations reached so far.
 *
 * A tile is a situation without its tile bits; with it go the combinations
 * of these that were reached, and those first reached in the level that is
 * being filled.  Without tile bits there are no bitmaps.  Tiles are numbered
 * in order of discovery and never move.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_TABLE_H
#define KEEPCLEAR_ENGINE_TILES_TABLE_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/budget.h"

struct table;

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

/* Tiles of that level; entry gets words and the new combinations. */
uint64_t table_level(const struct table *table);
void table_level_at(const struct table *table, uint64_t i, uint64_t *entry);

/* All tiles: words, then all combinations. */
uint64_t table_count(const struct table *table);
const uint64_t *table_at(const struct table *table, uint64_t number);

#endif
