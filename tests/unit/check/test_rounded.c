/* What REALs come to as whole numbers, held against the C library: nearbyint
 * (IEC 60559, to nearest and halves to even), round and trunc. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <math.h>

#include <cmocka.h>

#include "check/rounded.h"
#include "check/setting.h"

static const double numbers[] = {
    -40000.5, -128.5, -2.5, -2, -1.5, -1, -0.75, -0.5, -0.25, 0, 0.25,
    0.49999999999999994, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 3.5, 7.25, 126.5,
    127, 127.5, 4503599627370497.5, 1e18, 1e300};

enum { N = sizeof numbers / sizeof *numbers };

static const struct type real = {.kind = TYPE_REAL, .low = TYPE_NAN,
                                 .high = 2 * N, .count = N,
                                 .numbers = numbers};
static const struct type types[] = {
    {.kind = TYPE_INTEGER, .low = -128, .high = 127},
    {.kind = TYPE_INTEGER, .low = 0, .high = 65535},
    {.kind = TYPE_INTEGER, .low = INT64_MIN, .high = INT64_MAX}};

static double judged(double number, uint32_t how)
{
    return how == ROUNDING_EVEN ? nearbyint(number)
           : how == ROUNDING_AWAY ? round(number)
                                  : trunc(number);
}

static bool fits(double number, const struct type *to)
{
    return number >= (double)to->low &&
           (to->high == INT64_MAX ? number < 9223372036854775808.0
                                  : number <= (double)to->high);
}

static void numbers_are_rounded(void **state)
{
    (void)state;
    for (uint32_t how = 0; how < ROUNDINGS; how++)
        for (int i = 0; i < N; i++)
            for (int t = 0; t < 3; t++) {
                double wanted = judged(numbers[i], how);
                struct rounded got = rounded_of(&real, 2 * i + 1, how,
                                                &types[t]);

                if (!fits(wanted, &types[t])) {
                    assert_true(got.low == types[t].low);
                    assert_true(got.high == types[t].high);
                    continue;
                }
                assert_true((double)got.low == wanted);
                assert_true(got.low == got.high);
            }
}

/* Whatever lies in a gap comes to one of the numbers given, and its ends to
 * the first and the last. */
static void gaps_come_to_all_that_lie_in_them(void **state)
{
    (void)state;
    for (uint32_t how = 0; how < ROUNDINGS; how++)
        for (int i = 0; i + 1 < N; i++)
            for (int t = 0; t < 3; t++) {
                double low = nextafter(numbers[i], INFINITY);
                double high = nextafter(numbers[i + 1], -INFINITY);

                if (low > high)
                    continue; /* there is no number */

                struct rounded got = rounded_of(&real, 2 * i + 2, how,
                                                &types[t]);
                bool all = fits(judged(low, how), &types[t]) &&
                           fits(judged(high, how), &types[t]);

                assert_true(got.low == (all ? (int64_t)judged(low, how)
                                            : types[t].low));
                assert_true(got.high == (all ? (int64_t)judged(high, how)
                                             : types[t].high));
                for (int k = 0; all && k <= 16; k++) {
                    double one = fmin(low + (high - low) * k / 16, high);

                    assert_true(judged(one, how) >= (double)got.low);
                    assert_true(judged(one, how) <= (double)got.high);
                }
            }
}

static void what_is_beyond_all_numbers_is_anything(void **state)
{
    const int64_t values[] = {TYPE_NAN, 0, 2 * N};

    (void)state;
    for (int i = 0; i < 3; i++) {
        struct rounded got = rounded_of(&real, values[i], 0, &types[0]);

        assert_true(got.low == -128 && got.high == 127);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_rounded),
        cmocka_unit_test(gaps_come_to_all_that_lie_in_them),
        cmocka_unit_test(what_is_beyond_all_numbers_is_anything),
    };

    return cmocka_run_group_tests_name("rounded", tests, NULL, NULL);
}
