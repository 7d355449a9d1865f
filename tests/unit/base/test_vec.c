#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/ensure.h"
#include "base/hash.h"
#include "base/vec.h"

static jmp_buf back;
static enum base_failure seen;

static void catch (enum base_failure kind, const char *what,
                   const char *file, int line)
{
    (void)what, (void)file, (void)line;
    seen = kind;
    longjmp(back, 1);
}

static void keeps_what_is_pushed(void **state)
{
    VEC(int) numbers = {0};

    (void)state;
    for (int i = 0; i < 10000; i++)
        vec_push(&numbers, i * 7);
    assert_int_equal(numbers.n, 10000);
    assert_true(numbers.cap >= numbers.n);
    for (int i = 0; i < 10000; i++)
        assert_int_equal(numbers.at[i], i * 7);
    vec_clear(&numbers);
    assert_int_equal(numbers.n, 0);
    vec_release(&numbers);
    assert_null(numbers.at);
    assert_int_equal(numbers.cap, 0);
    vec_release(&numbers);
}

static void reserves_at_least_what_is_asked(void **state)
{
    VEC(struct { char bytes[24]; }) wide = {0};

    (void)state;
    vec_reserve(&wide, 1000);
    assert_true(wide.cap >= 1000);
    assert_int_equal(wide.n, 0);
    vec_release(&wide);
}

static void growth_is_checked(void **state)
{
    size_t cap = 0;

    (void)state;
    base_on_failure(catch);
    seen = BASE_INTERNAL_ERROR;
    if (!setjmp(back)) {
        vec_grow(NULL, &cap, SIZE_MAX / 4, 8);
        fail_msg("came back");
    }
    assert_int_equal(seen, BASE_OUT_OF_MEMORY);
    assert_int_equal(cap, 0);
    base_on_failure(NULL);
}

/* The value for 1 was computed apart from this code, from the constants of
 * the finaliser with integers of any size (Python); 0 is its fixed point. */
static void hashes_are_fixed_and_mixed(void **state)
{
    const uint64_t ab[] = {1, 2}, ba[] = {2, 1}, zeros[] = {0, 0, 0};

    (void)state;
    assert_true(hash_word(0) == 0);
    assert_true(hash_word(1) == UINT64_C(0xb456bcfc34c2cb2c));
    assert_true(hash_words(ab, 2) != hash_words(ba, 2));
    assert_true(hash_words(zeros, 2) != hash_words(zeros, 3));
    assert_true(hash_bytes("ab", 2) != hash_bytes("ba", 2));
    assert_true(hash_bytes("\0", 1) != hash_bytes("\0\0", 2));
    assert_true(hash_bytes("tailgate", 8) == hash_bytes("tailgate", 8));
    assert_true(hash_bytes("tailgate1", 9) != hash_bytes("tailgate2", 9));
}

/* 2^16 neighbouring words fall into 2^16 boxes about as chance would have
 * it: about 1/e of the boxes stay empty. */
static void neighbours_spread(void **state)
{
    static unsigned char box[1 << 16];
    int empty = 0;

    (void)state;
    for (uint64_t i = 0; i < 1 << 16; i++)
        box[hash_words(&i, 1) & 0xffff] = 1;
    for (int i = 0; i < 1 << 16; i++)
        empty += !box[i];
    assert_in_range(empty, 23000, 25200);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keeps_what_is_pushed),
        cmocka_unit_test(reserves_at_least_what_is_asked),
        cmocka_unit_test(growth_is_checked),
        cmocka_unit_test(hashes_are_fixed_and_mixed),
        cmocka_unit_test(neighbours_spread),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
