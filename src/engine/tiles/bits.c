#include "engine/tiles/bits.h"

/* Where bit t of the number of a combination is on, within one word. */
static const uint64_t on_mask[6] = {
    UINT64_C(0xaaaaaaaaaaaaaaaa), UINT64_C(0xcccccccccccccccc),
    UINT64_C(0xf0f0f0f0f0f0f0f0), UINT64_C(0xff00ff00ff00ff00),
    UINT64_C(0xffff0000ffff0000), UINT64_C(0xffffffff00000000)};

uint32_t bits_words(uint32_t k)
{
    return k == 0 ? 0 : k <= 6 ? 1 : (uint32_t)1 << (k - 6);
}

void bits_fill(uint32_t k, uint64_t *set)
{
    for (uint32_t w = 0; w < bits_words(k); w++)
        set[w] = k >= 6 ? UINT64_MAX
                        : ((uint64_t)1 << ((uint32_t)1 << k)) - 1;
}

static uint64_t where(uint32_t word, uint32_t t, bool on)
{
    if (t < 6)
        return on ? on_mask[t] : ~on_mask[t];
    return ((word >> (t - 6)) & 1) == on ? UINT64_MAX : 0;
}

void bits_select(uint32_t k, uint64_t *set, uint32_t t, bool on)
{
    for (uint32_t w = 0; w < bits_words(k); w++)
        set[w] &= where(w, t, on);
}

void bits_free(uint32_t k, uint64_t *set, uint32_t t)
{
    uint32_t far = t < 6 ? 0 : (uint32_t)1 << (t - 6);

    for (uint32_t w = 0; w < bits_words(k); w++) {
        if (t < 6) {
            uint32_t shift = (uint32_t)1 << t;

            set[w] |= (set[w] & on_mask[t]) >> shift |
                      (set[w] & ~on_mask[t]) << shift;
        } else if (!(w & far)) {
            set[w] |= set[w + far];
            set[w + far] = set[w];
        }
    }
}

uint64_t bits_count(uint32_t k, const uint64_t *set)
{
    uint64_t n = k == 0;

    for (uint32_t w = 0; w < bits_words(k); w++)
        n += (uint64_t)__builtin_popcountll(set[w]);
    return n;
}

bool bits_has(uint32_t k, const uint64_t *set, uint32_t t, bool on)
{
    uint64_t any = 0;

    for (uint32_t w = 0; w < bits_words(k); w++)
        any |= set[w] & where(w, t, on);
    return any != 0;
}
