#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "engine/concrete/store.h"

enum { MANY = 300000 };

static void word_of(uint64_t i, uint32_t n_words, uint64_t *words)
{
    for (uint32_t w = 0; w < n_words; w++)
        words[w] = w + 1 == n_words ? i : i / 7;
}

/* Numbers are given in order of discovery and stay. */
static void numbers_in_order(uint32_t n_words)
{
    struct store *s = store_new(n_words, 0);
    uint64_t words[3], number;

    word_of(5, n_words, words);
    assert_true(store_find(s, words) == STORE_NONE);
    for (uint64_t i = 0; i < MANY; i++) {
        word_of(i, n_words, words);
        assert_int_equal(store_add(s, words, &number), STORE_NEW);
        assert_int_equal(number, i);
    }
    assert_int_equal(store_count(s), MANY);
    for (uint64_t i = 0; i < MANY; i++) {
        word_of(i, n_words, words);
        assert_int_equal(store_add(s, words, &number), STORE_KNOWN);
        assert_int_equal(number, i);
        assert_int_equal(store_find(s, words), i);
        assert_memory_equal(store_at(s, i), words,
                            n_words * sizeof *words);
    }
    word_of(MANY, n_words, words);
    assert_true(store_find(s, words) == STORE_NONE);
    assert_true(store_bytes(s) >= MANY * n_words * sizeof *words);
    store_free(s);
}

static void keeps_situations(void **state)
{
    (void)state;
    numbers_in_order(1);
    numbers_in_order(3);
}

static void is_full_at_its_limit(void **state)
{
    const uint64_t limit = 4 << 20;
    struct store *s = store_new(1, limit);
    uint64_t n = 0, number = 77;

    (void)state;
    while (store_add(s, &n, NULL) == STORE_NEW)
        n++;
    assert_true(n > 1000 && n == store_count(s));
    assert_true(store_bytes(s) <= limit);
    /* full, and still right about what is there */
    assert_int_equal(store_add(s, &n, &number), STORE_FULL);
    assert_int_equal(number, 77);
    assert_true(store_find(s, &n) == STORE_NONE);
    for (uint64_t i = 0; i < n; i++)
        assert_int_equal(store_add(s, &i, NULL), STORE_KNOWN);
    store_free(s);
}

static void empty_ones_can_go(void **state)
{
    (void)state;
    store_free(store_new(2, 0));
    store_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keeps_situations),
        cmocka_unit_test(is_full_at_its_limit),
        cmocka_unit_test(empty_ones_can_go),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
