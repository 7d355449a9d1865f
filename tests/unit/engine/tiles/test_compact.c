/* The set of keys in few bytes: against a plain bitmap, and against keys
 * that are known to differ. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <cmocka.h>

#include "base/hash.h"
#include "engine/tiles/compact.h"
#include "engine/tiles/mix.h"

/* ---- mixing ---- */

static void small_keys_map_one_to_one(void **state)
{
    (void)state;
    for (uint32_t bits = 1; bits <= 18; bits++) {
        struct mix mix = mix_of(bits);
        uint64_t n = (uint64_t)1 << bits;
        char *met = calloc(n, 1);

        for (uint64_t key = 0; key < n; key++) {
            uint64_t mixed = mix_do(&mix, key);

            assert_true(mixed < n);
            assert_false(met[mixed]);
            met[mixed] = 1;
            assert_int_equal(mix_undo(&mix, mixed), key);
        }
        free(met);
    }
}

static void large_keys_come_back(void **state)
{
    (void)state;
    for (uint32_t bits = 19; bits <= 64; bits++) {
        struct mix mix = mix_of(bits);

        for (uint64_t i = 0; i < 20000; i++) {
            uint64_t key = i < 10 ? UINT64_MAX >> (64 - bits) << i
                                  : hash_word(i);
            uint64_t low = key & UINT64_MAX >> (64 - bits);

            assert_true(mix_do(&mix, low) >> (bits - 1) <= 1);
            assert_int_equal(mix_undo(&mix, mix_do(&mix, low)), low);
            assert_int_equal(mix_do(&mix, mix_undo(&mix, low)), low);
        }
    }
}

/* ---- the set ---- */

static uint32_t add(struct compact *set, uint64_t key)
{
    uint32_t is_new;

    compact_fetch(set, &key, 1, 1);
    assert_true(compact_add(set, &key, 1, 1, &is_new));
    return is_new;
}

/* Keys at random, again and again, until most were there; then all. */
static void like_a_bitmap(void **state)
{
    const uint32_t bits[] = {0, 1, 5, 12, 16, 17, 20, 23};

    (void)state;
    for (size_t b = 0; b < sizeof bits / sizeof *bits; b++) {
        struct budget budget = {0, 0};
        struct compact *set = compact_new(&budget, bits[b]);
        uint64_t n = (uint64_t)1 << bits[b], count = 0, at = 0, key;
        char *there = calloc(n, 1);

        for (uint64_t i = 0; i < 3 * n; i++) {
            key = i < 2 * n ? hash_word(i) & (n - 1) : i - 2 * n;
            assert_int_equal(add(set, key), !there[key]);
            count += !there[key];
            there[key] = 1;
            assert_true((i & 0xffff) || compact_count(set) == count);
        }
        assert_int_equal(compact_count(set), n);
        while (compact_each(set, &at, &key)) {
            assert_true(there[key]);
            there[key] = 0;
            count--;
        }
        assert_int_equal(count, 0);
        compact_free(set);
        assert_int_equal(budget.held, 0);
        free(there);
    }
}

enum { MANY = 400000 };

/* Keys of every width, orderly (a product with an odd number is never the
 * same twice) and not: each is new once and known ever after. */
static void known_ever_after(void **state)
{
    (void)state;
    for (uint32_t bits = 24; bits <= 64; bits += 4) {
        const uint64_t mask = UINT64_MAX >> (64 - bits);
        const uint64_t factor[] = {1, UINT64_C(1) << (bits - 20) | 1,
                                   UINT64_C(0x1234567890abcdef)};

        for (size_t f = 0; f < 3; f++) {
            struct budget budget = {0, 0};
            struct compact *set = compact_new(&budget, bits);
            uint64_t at = 0, key, sum = 0, n = 0;

            for (uint64_t i = 0; i < MANY; i++) {
                assert_int_equal(add(set, i * factor[f] & mask), 1);
                assert_int_equal(
                    add(set, (i / 2) * factor[f] & mask), 0);
                sum += i * factor[f] & mask;
            }
            for (uint64_t i = 0; i < MANY; i++)
                assert_int_equal(add(set, i * factor[f] & mask), 0);
            for (; compact_each(set, &at, &key); n++)
                sum -= key;
            assert_int_equal(n, MANY);
            assert_int_equal(sum, 0);
            compact_free(set);
        }
    }
}

/* Slots become half as large on the way, and there are many chunks. */
static void few_bytes_each(void **state)
{
    const uint64_t n = 8 << 20;
    struct budget budget = {0, 0};
    struct compact *set = compact_new(&budget, 44);

    (void)state;
    for (uint64_t i = 0; i < n; i++)
        assert_int_equal(add(set, i * 977), 1);
    for (uint64_t i = 0; i < n; i += 3)
        assert_int_equal(add(set, i * 977), 0);
    assert_int_equal(compact_count(set), n);
    assert_true(budget.held < n * 7);
    compact_free(set);
    assert_int_equal(budget.held, 0);
}

static void keeps_to_its_limit(void **state)
{
    (void)state;
    for (uint32_t bits = 30; bits <= 64; bits += 34) {
        struct budget budget = {0, 8 << 20}, none = {0, 100};
        struct compact *set = compact_new(&budget, bits);
        uint64_t key = 0;
        uint32_t is_new;

        assert_null(compact_new(&none, bits));
        while (compact_add(set, &key, 1, 1, &is_new)) {
            assert_int_equal(is_new, 1);
            key++;
        }
        assert_int_equal(compact_count(set), key);
        assert_true(budget.held <= budget.most);
        assert_true(key > (bits == 30 ? 1000000 : 400000));
        compact_free(set);
        assert_int_equal(budget.held, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(small_keys_map_one_to_one),
        cmocka_unit_test(large_keys_come_back),
        cmocka_unit_test(like_a_bitmap),
        cmocka_unit_test(known_ever_after),
        cmocka_unit_test(few_bytes_each),
        cmocka_unit_test(keeps_to_its_limit),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
