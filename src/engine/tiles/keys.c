#include "engine/tiles/keys.h"

/* One multiplication a word, and one more: by an odd factor (2^64 divided by
 * the golden ratio), the high half folded down before the next. */
static uint64_t spread(uint64_t word)
{
    word *= UINT64_C(0x9e3779b97f4a7c15);
    return word ^ word >> 32;
}

uint64_t keys_hash(const uint64_t *words, uint32_t n)
{
    uint64_t hash = words[0];

    for (uint32_t i = 1; i < n; i++)
        hash = spread(hash) + words[i];
    return spread(spread(hash));
}

uint32_t keys_owner(const uint64_t *words, const uint64_t *mask,
                    uint32_t n_words, uint32_t n)
{
    uint64_t hash = 0;

    for (uint32_t i = 0; i < n_words; i++)
        hash = spread(hash + (words[i] & mask[i]));
    return (uint32_t)((spread(hash) >> 32) * n >> 32);
}

bool keys_same(const uint64_t *a, const uint64_t *b, uint32_t n)
{
    uint64_t differs = 0;

    for (uint32_t i = 0; i < n; i++)
        differs |= a[i] ^ b[i];
    return differs == 0;
}
