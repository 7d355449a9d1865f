/* mix.h - keys of some bits, mixed so that they can be had back.
 *
 * Numbers below 2^bits are mapped onto one another, one to one: what comes
 * out looks like random however orderly the keys are, and no two keys ever
 * become one.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_MIX_H
#define KEEPCLEAR_ENGINE_TILES_MIX_H

#include <stdint.h>

struct mix {
    uint32_t bits, shift;
    uint64_t mask;
};

/* 1 <= bits <= 64. */
struct mix mix_of(uint32_t bits);

uint64_t mix_do(const struct mix *mix, uint64_t key);
uint64_t mix_undo(const struct mix *mix, uint64_t mixed);

#endif
