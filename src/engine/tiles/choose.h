/* choose.h - which stored bits to carry in bitmaps. */
#ifndef KEEPCLEAR_ENGINE_TILES_CHOOSE_H
#define KEEPCLEAR_ENGINE_TILES_CHOOSE_H

#include <stdint.h>

struct arena;
struct rest;
struct slice;
struct table;

/* The situations of some first levels, found without tile bits. */
struct sample {
    const struct slice *slice;
    const struct rest *rest;
    const struct table *table;
    const uint64_t *sizes; /* per level */
    uint32_t levels;
};

/* Cells of two values, most useful first, at most `most`; how many.  A bit
 * is useful where situations of one level differ in nothing else: they would
 * be one tile.  cell gets their numbers. */
uint32_t choose_bits(const struct sample *sample, uint32_t most,
                     uint32_t *cell);

#endif
