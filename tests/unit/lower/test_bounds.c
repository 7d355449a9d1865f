#include "base/divisor.h"
#include "lower/bounds.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

static void divisors(void **state)
{
    (void)state;
    assert_int_equal(divisor_common(0, 0), 0);
    assert_int_equal(divisor_common(0, -12), 12);
    assert_int_equal(divisor_common(12, -18), 6);
    assert_int_equal(divisor_common(INT64_MIN, 0), 1); /* its size is no int64 */
    assert_int_equal(divisor_common(INT64_MIN, 6), 2);
}

static void same(struct bounds got, int64_t low, int64_t high, int64_t unit)
{
    assert_int_equal(got.low, low);
    assert_int_equal(got.high, high);
    assert_int_equal(got.unit, unit);
}

static void widening(void **state)
{
    struct bounds b = {10, 10, 10};
    (void)state;
    assert_false(bounds_widen(&b, (struct bounds){10, 10, 10}, 0, 99, 0));
    assert_true(bounds_widen(&b, (struct bounds){0, 20, 20}, 0, 99, 0));
    same(b, 0, 20, 10);
    assert_true(bounds_widen(&b, (struct bounds){5, 20, 5}, 0, 99, 2));
    same(b, 0, 20, 5);
    /* what leaves the type ends at its limit */
    assert_true(bounds_widen(&b, (struct bounds){0, 120, 5}, 0, 99, 2));
    same(b, 0, 99, 1);
}

/* From round 3 on a side that grows goes to its end at once. */
static void haste(void **state)
{
    struct bounds b = {0, 20, 10};
    (void)state;
    assert_true(bounds_widen(&b, (struct bounds){0, 30, 10}, -50, 99, 3));
    same(b, 0, 99, 1);
    assert_true(bounds_widen(&b, (struct bounds){-1, 30, 1}, -50, 99, 4));
    same(b, -50, 99, 1);
    assert_false(bounds_widen(&b, (struct bounds){-99, 199, 1}, -50, 99, 5));
}

static void aligning(void **state)
{
    (void)state;
    same(bounds_aligned((struct bounds){0, 0, 0}), 0, 0, 1);
    same(bounds_aligned((struct bounds){-7, 7, 5}), -5, 5, 5);
    same(bounds_aligned((struct bounds){7, 13, 5}), 10, 10, 5);
    same(bounds_aligned((struct bounds){-13, -7, 5}), -10, -10, 5);
    same(bounds_aligned((struct bounds){-14, 14, 5}), -10, 10, 5);
    same(bounds_aligned((struct bounds){0, 1, 2}), 0, 0, 2);
    same(bounds_aligned((struct bounds){INT64_MIN, INT64_MAX, 1000}),
         -9223372036854775000, 9223372036854775000, 1000);
    same(bounds_aligned((struct bounds){-10, 20, 10}), -10, 20, 10);
    assert_int_equal(bounds_whole_scans(0, 100), 0);
    assert_int_equal(bounds_whole_scans(1, 100), 100);
    assert_int_equal(bounds_whole_scans(200, 100), 200);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(divisors),
        cmocka_unit_test(widening),
        cmocka_unit_test(haste),
        cmocka_unit_test(aligning),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
