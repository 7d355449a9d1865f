/* places.h - where the bits of a half finished scan lie.
 *
 * Between two sections there are: cells and marks that a later section still
 * reads, choices that were read and will be read again (0: undecided, else
 * value index + 1), and next values of cells.  Each has its place for as long
 * as it is needed; a place that is given up holds zeros.  After the last
 * section only next values are left: a situation without its tile bits.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_PLACES_H
#define KEEPCLEAR_ENGINE_TILES_PLACES_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/concrete/pack.h"
#include "engine/tiles/course.h"

/* Places in words of a situation, the same for both forms.  Cells that are
 * tile bits, too, have a place, of no bits. */
struct rest {
    uint32_t n_words, bits; /* bits: up to the last that is used */
    const struct pack_field *cells;
};

const struct rest *rest_new(struct arena *arena, const struct slice *slice,
                            const struct tile_bits *bits);

struct places {
    uint32_t n_words;
    const struct pack_field *old;  /* per cell, then per mark */
    const struct pack_field *rows; /* per choice row: as numbers */
    const bool *kept;        /* per item: has a place at all */
    const uint32_t *first;   /* per item: the part that may decide it first */
    const uint32_t *last;    /* and the last that reads it; FLAT_NONE: none */
};

/* Lies in the arena; n_words is at least that of the rest. */
const struct places *places_new(struct arena *arena,
                                const struct scan_form *form,
                                const struct course *course,
                                const struct rest *rest);

/* Is an item remembered before a part, and after it? */
bool places_bring(const struct places *places, uint32_t item, uint32_t part);
bool places_carry(const struct places *places, uint32_t item, uint32_t part);

#endif
