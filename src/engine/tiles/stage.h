/* stage.h - half finished scans that wait for their next section, equal ones
 * merged: the same words, bitmaps joined.
 *
 * Entries keep the order in which they came first.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_STAGE_H
#define KEEPCLEAR_ENGINE_TILES_STAGE_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/budget.h"

struct stage {
    struct budget *budget;
    uint32_t n_words, set_words; /* of an entry: words, then its bitmap */
    uint64_t *entries;
    uint32_t *slots;      /* 0: empty, else entry number + 1 */
    uint32_t n, room, n_slots;
};

/* Has room for a few from the beginning; false: no bytes left. */
bool stage_init(struct stage *stage, struct budget *budget,
                uint32_t n_words, uint32_t set_words);
void stage_release(struct stage *stage);

/* False: it is full, and nothing was added. */
bool stage_add(struct stage *stage, const uint64_t *entry);

const uint64_t *stage_at(const struct stage *stage, uint32_t i);

void stage_clear(struct stage *stage);

#endif
