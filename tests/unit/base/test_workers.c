/* Jobs in processes of their own: each is taken once, with what it wrote. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "base/workers.h"

enum { JOBS = 23, FAILS = 5, CRASHES = 7, LAST = 4 };

struct seen {
    uint32_t taken[JOBS], failed, n;
    bool changed; /* by a job, in its own process only */
};

static struct seen seen;

static bool job(void *context, uint32_t number, struct text *result)
{
    struct seen *mine = context;

    mine->changed = true;
    if (number == CRASHES)
        abort();
    text_printf(result, "job %u", number);
    return number != FAILS;
}

static void take(void *context, uint32_t number, const struct text *result)
{
    struct seen *all = context;
    struct text expected = {0};

    all->taken[number]++;
    all->n++;
    if (result == NULL) {
        assert_true(number == FAILS || number == CRASHES);
        all->failed++;
        return;
    }
    text_printf(&expected, "job %u", number);
    assert_string_equal(text_str(result), text_str(&expected));
    text_release(&expected);
}

static bool after_some(void)
{
    return seen.n >= LAST;
}

static void each_is_taken_once(void **state)
{
    (void)state;
    for (uint32_t at_a_time = 1; at_a_time < 5; at_a_time++) {
        const struct workers workers = {
            .n = JOBS, .at_a_time = at_a_time, .context = &seen, .job = job,
            .take = take};

        memset(&seen, 0, sizeof seen);
        workers_run(&workers);
        for (uint32_t i = 0; i < JOBS; i++)
            assert_int_equal(seen.taken[i], 1);
        assert_int_equal(seen.failed, 2);
        assert_false(seen.changed);
    }
}

static void it_stops(void **state)
{
    const struct workers workers = {
        .n = JOBS, .at_a_time = 3, .context = &seen, .job = job,
        .take = take, .stops = after_some};

    (void)state;
    memset(&seen, 0, sizeof seen);
    workers_run(&workers);
    assert_int_equal(seen.n, LAST);
}

static void nothing_to_do(void **state)
{
    const struct workers workers = {.at_a_time = 2, .context = &seen,
                                    .job = job, .take = take};

    (void)state;
    memset(&seen, 0, sizeof seen);
    workers_run(&workers);
    assert_int_equal(seen.n, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_is_taken_once),
        cmocka_unit_test(it_stops),
        cmocka_unit_test(nothing_to_do),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
