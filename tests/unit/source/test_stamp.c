#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <time.h>

#include <cmocka.h>

#include "source/stamp.h"

static int64_t at(const char *field)
{
    bool day_only;
    int64_t ms;

    if (!stamp_read(field, STAMP_SECONDS, &ms, &day_only))
        fail_msg("'%s' is not read", field);
    return ms;
}

static void numbers_are_read(void **state)
{
    bool day_only;
    int64_t ms;

    (void)state;
    assert_int_equal(at("0"), 0);
    assert_int_equal(at("12.35"), 12350);
    assert_int_equal(at("12,3"), 12300);
    assert_int_equal(at("0.0019"), 1);
    assert_true(stamp_read("1500", STAMP_MILLISECONDS, &ms, &day_only));
    assert_int_equal(ms, 1500);
    assert_false(day_only);
}

/* Days between dates: the C library is the judge. */
static void dates_are_read(void **state)
{
    char field[40];
    time_t noon = 43200;
    int64_t first = at("1970-01-01 12:00:00");

    (void)state;
    for (int64_t day = 0; day < 60000; day += 97) {
        time_t moment = noon + (time_t)day * 86400;
        struct tm tm;

        gmtime_r(&moment, &tm);
        strftime(field, sizeof field, "%Y-%m-%d %H:%M:%S", &tm);
        assert_int_equal(at(field) - first, day * 86400000);
        strftime(field, sizeof field, "%d.%m.%YT%H:%M:%S.250", &tm);
        assert_int_equal(at(field) - first, day * 86400000 + 250);
    }
}

static void times_of_day_are_read(void **state)
{
    bool day_only;
    int64_t ms;

    (void)state;
    assert_true(stamp_read("7:05:09,5", STAMP_SECONDS, &ms, &day_only));
    assert_true(day_only);
    assert_int_equal(ms, ((7 * 60 + 5) * 60 + 9) * 1000 + 500);
}

static void others_are_refused(void **state)
{
    static const char *const fields[] = {
        "", "x", "-1", "1.2.3", "12 s", "24:00:00", "12:60:00", "12:00",
        "2026-13-01 00:00:00", "2026-01-00 00:00:00", "1/2/2026 10:00:00",
        "2026-01-01T00:00:00+01:00", "9999999999999999"};
    bool day_only;
    int64_t ms;

    (void)state;
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++)
        if (stamp_read(fields[i], STAMP_SECONDS, &ms, &day_only))
            fail_msg("'%s' is read", fields[i]);
}

static void headings_are_known(void **state)
{
    (void)state;
    assert_true(stamp_is_heading("Time"));
    assert_true(stamp_is_heading("t [ms]"));
    assert_true(stamp_is_heading("time_s"));
    assert_false(stamp_is_heading("times"));
    assert_false(stamp_is_heading("stop_ok"));
    assert_int_equal(stamp_unit_of("t [ms]"), STAMP_MILLISECONDS);
    assert_int_equal(stamp_unit_of("time_ms"), STAMP_MILLISECONDS);
    assert_int_equal(stamp_unit_of("ms"), STAMP_MILLISECONDS);
    assert_int_equal(stamp_unit_of("alarms"), STAMP_SECONDS);
    assert_int_equal(stamp_unit_of("time"), STAMP_SECONDS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read),
        cmocka_unit_test(dates_are_read),
        cmocka_unit_test(times_of_day_are_read),
        cmocka_unit_test(others_are_refused),
        cmocka_unit_test(headings_are_known),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
