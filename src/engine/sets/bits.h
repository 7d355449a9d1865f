/* bits.h - whole numbers as bits that depend on variables, in two's
 * complement; the last bit stands for all higher ones, no bits are 0.
 *
 * Results have the width asked for, and are right modulo two to that power.
 * Arrays lie in the arena.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_BITS_H
#define KEEPCLEAR_ENGINE_SETS_BITS_H

#include "engine/sets/room.h"

struct arena;

struct bits {
    uint32_t n;
    set *at; /* from the lowest on */
};

struct calculator {
    struct room *room;
    struct arena *arena;
};

/* Bits needed for all from low to high; 0 when both are 0. */
uint32_t bits_width(int64_t low, int64_t high);

struct bits bits_constant(struct calculator c, int64_t value);
struct bits bits_resize(struct calculator c, struct bits a, uint32_t n);
struct bits bits_add(struct calculator c, struct bits a, struct bits b,
                     uint32_t n);
struct bits bits_subtract(struct calculator c, struct bits a, struct bits b,
                          uint32_t n);
struct bits bits_multiply(struct calculator c, struct bits a, struct bits b,
                          uint32_t n);

/* a without its lowest n bits: rounded down. */
struct bits bits_drop(struct calculator c, struct bits a, uint32_t n);

/* Bit by bit; as wide as the wider one. */
struct bits bits_meet(struct calculator c, struct bits a, struct bits b);

/* Rounded towards 0; a divisor of 0 gives 0 and remainder 0. */
struct bits bits_divide(struct calculator c, struct bits a, struct bits b,
                        struct bits *rest);

struct bits bits_choose(struct calculator c, set condition, struct bits yes,
                        struct bits no);

set bits_equal(struct calculator c, struct bits a, struct bits b);
set bits_less(struct calculator c, struct bits a, struct bits b);

#endif
