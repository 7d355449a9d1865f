#include "engine/tiles/mix.h"

#include "base/ensure.h"

/* Odd, so each has an inverse modulo every power of two. */
static const uint64_t factor[] = {UINT64_C(0x9e3779b97f4a7c15),
                                  UINT64_C(0xbf58476d1ce4e5b9)};

/* Each step doubles the low bits that are right; three are to begin with. */
static uint64_t inverse(uint64_t odd)
{
    uint64_t x = odd;

    for (unsigned step = 0; step < 5; step++)
        x *= 2 - odd * x;
    return x;
}

struct mix mix_of(uint32_t bits)
{
    ENSURE(bits >= 1 && bits <= 64);
    return (struct mix){bits, (bits + 1) / 2, UINT64_MAX >> (64 - bits)};
}

uint64_t mix_do(const struct mix *mix, uint64_t key)
{
    key ^= key >> mix->shift;
    key = key * factor[0] & mix->mask;
    key ^= key >> mix->shift;
    key = key * factor[1] & mix->mask;
    return key ^ key >> mix->shift;
}

/* The shift is at least half of the bits, so folding twice changes nothing. */
uint64_t mix_undo(const struct mix *mix, uint64_t key)
{
    key ^= key >> mix->shift;
    key = key * inverse(factor[1]) & mix->mask;
    key ^= key >> mix->shift;
    key = key * inverse(factor[0]) & mix->mask;
    return key ^ key >> mix->shift;
}
