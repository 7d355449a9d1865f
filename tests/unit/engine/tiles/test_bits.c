/* Bitmaps against plain loops over combinations. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/hash.h"
#include "engine/tiles/bits.h"

static bool holds(const uint64_t *set, uint32_t combination)
{
    return set[combination / 64] >> (combination % 64) & 1;
}

static void some_set(uint32_t k, uint64_t seed, uint64_t *set)
{
    uint64_t all[BITS_MOST_WORDS] = {0};

    bits_fill(k, all);
    for (uint32_t w = 0; w < bits_words(k); w++)
        set[w] = hash_word(seed * 64 + w) & hash_word(seed * 64 + w + 32) &
                 all[w];
}

static void agree(uint32_t k, uint64_t seed, uint32_t t)
{
    uint64_t set[BITS_MOST_WORDS] = {0}, freed[BITS_MOST_WORDS];
    uint64_t on[BITS_MOST_WORDS], count = 0;
    bool has[2] = {false, false};

    some_set(k, seed, set);
    for (uint32_t w = 0; w < BITS_MOST_WORDS; w++)
        freed[w] = on[w] = set[w];
    bits_free(k, freed, t);
    bits_select(k, on, t, true);
    for (uint32_t c = 0; c < (uint32_t)1 << k; c++) {
        bool bit = c >> t & 1;

        count += holds(set, c);
        if (holds(set, c))
            has[bit] = true;
        assert_int_equal(holds(on, c), holds(set, c) && bit);
        assert_int_equal(holds(freed, c),
                         holds(set, c) || holds(set, c ^ (uint32_t)1 << t));
    }
    assert_int_equal(bits_count(k, set), count);
    assert_int_equal(bits_has(k, set, t, false), has[0]);
    assert_int_equal(bits_has(k, set, t, true), has[1]);
}

static void as_plain_loops(void **state)
{
    (void)state;
    for (uint32_t k = 1; k <= BITS_MOST; k++)
        for (uint32_t t = 0; t < k; t++)
            for (uint64_t seed = 0; seed < 20; seed++)
                agree(k, seed, t);
}

static void no_bits(void **state)
{
    (void)state;
    assert_int_equal(bits_words(0), 0);
    assert_int_equal(bits_count(0, NULL), 1);
    assert_int_equal(bits_words(6), 1);
    assert_int_equal(bits_words(7), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_plain_loops),
        cmocka_unit_test(no_bits),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
