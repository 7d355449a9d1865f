#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"

static jmp_buf back;
static enum base_failure seen;

static void catch (enum base_failure kind, const char *what,
                   const char *file, int line)
{
    (void)what, (void)file, (void)line;
    seen = kind;
    longjmp(back, 1);
}

static void gives_zeroed_aligned_memory(void **state)
{
    static const size_t sizes[] = {0, 1, 15, 16, 17, 5000, 1 << 21, 3};
    struct arena *arena = arena_new();

    (void)state;
    for (size_t round = 0; round < 50; round++)
        for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
            unsigned char *at = arena_alloc(arena, sizes[i]);

            assert_int_equal((uintptr_t)at % 16, 0);
            for (size_t k = 0; k < sizes[i]; k++)
                if (at[k])
                    fail_msg("byte %zu of %zu is not zero", k, sizes[i]);
            memset(at, 0xa5, sizes[i]);
        }
    arena_free(arena);
}

static void objects_do_not_overlap(void **state)
{
    enum { COUNT = 3000 };
    static unsigned char *all[COUNT];
    struct arena *arena = arena_new();

    (void)state;
    for (size_t i = 0; i < COUNT; i++) {
        all[i] = arena_alloc(arena, i % 300 + 1);
        memset(all[i], (int)(i % 251), i % 300 + 1);
    }
    for (size_t i = 0; i < COUNT; i++)
        for (size_t k = 0; k < i % 300 + 1; k++)
            assert_int_equal(all[i][k], i % 251);
    arena_free(arena);
}

static void copies_and_prints(void **state)
{
    struct arena *arena = arena_new();
    char *copy = arena_copy(arena, "gate", 3);

    (void)state;
    assert_string_equal(copy, "gat");
    assert_string_equal(arena_copy(arena, NULL, 0), "");
    assert_string_equal(arena_printf(arena, "%s-%d", "F", 12), "F-12");
    assert_string_equal(arena_printf(arena, "%0999d", 1) + 990,
                        "000000001");
    arena_free(arena);
    arena_free(NULL);
}

static void counts_what_it_hands_out(void **state)
{
    struct arena *arena = arena_new();
    size_t before = arena_used(arena);

    (void)state;
    assert_int_equal(before, 0);
    arena_alloc(arena, 100);
    assert_in_range(arena_used(arena), 100, 128);
    arena_free(arena);
}

static void product_is_checked(void **state)
{
    struct arena *arena = arena_new();

    (void)state;
    base_on_failure(catch);
    seen = BASE_INTERNAL_ERROR;
    if (!setjmp(back)) {
        arena_array(arena, SIZE_MAX / 2, 3);
        fail_msg("came back");
    }
    assert_int_equal(seen, BASE_OUT_OF_MEMORY);
    seen = BASE_INTERNAL_ERROR;
    if (!setjmp(back)) {
        arena_alloc(arena, SIZE_MAX);
        fail_msg("came back");
    }
    assert_int_equal(seen, BASE_OUT_OF_MEMORY);
    base_on_failure(NULL);
    arena_free(arena);
}

static void broken_invariant_reaches_the_handler(void **state)
{
    (void)state;
    base_on_failure(catch);
    seen = BASE_OUT_OF_MEMORY;
    if (!setjmp(back)) {
        ENSURE(1 + 1 == 2);
        ENSURE(1 + 1 == 3);
        fail_msg("came back");
    }
    assert_int_equal(seen, BASE_INTERNAL_ERROR);
    base_on_failure(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gives_zeroed_aligned_memory),
        cmocka_unit_test(objects_do_not_overlap),
        cmocka_unit_test(copies_and_prints),
        cmocka_unit_test(counts_what_it_hands_out),
        cmocka_unit_test(product_is_checked),
        cmocka_unit_test(broken_invariant_reaches_the_handler),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
