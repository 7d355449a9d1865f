/* How far away something is at least: known answers, and never more than a
 * plain walk over every situation finds. */
#include "logic/distance.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "tests/support/random_counter.h"

enum { SEEDS = 6000 };

#define TYPE_HIGH 2147483647

struct case_of {
    struct hand h;
    flat_expr go, count;
};

static void begin(struct case_of *c)
{
    hand_init(&c->h);
    c->go = hand_choice(&c->h, FLAT_OPERATOR, 2, 0);
    c->count = hand_cell(&c->h, 0, TYPE_HIGH, 1);
}

/* The counter begins at 0; the watch is that it is above `most`, by its next
 * value. */
static uint64_t distance(struct case_of *c, flat_expr next, int64_t most)
{
    flat_expr watch =
        hand_op(&c->h, FLAT_LT, hand_const(&c->h, most), next);
    uint64_t found;

    hand_next(&c->h, c->count, hand_const(&c->h, 0), next);
    hand_watch(&c->h, hand_const(&c->h, 0), watch);
    found = distance_least(hand_slice(&c->h), 0, 1, NULL);
    hand_release(&c->h);
    return found;
}

static flat_expr plus(struct case_of *c, flat_expr a, int64_t by)
{
    return hand_op(&c->h, FLAT_ADD, a, hand_const(&c->h, by));
}

/* 0 after the first scan, k - 1 after scan k: scan k makes k - 1. */
static void one_in_each_scan(void **state)
{
    struct case_of c;

    (void)state;
    begin(&c);
    assert_int_equal(distance(&c, hand_ite(&c.h, c.go, plus(&c, c.count, 1),
                                           c.count), TYPE_HIGH),
                     (uint64_t)TYPE_HIGH + 1);
    begin(&c);
    assert_int_equal(distance(&c, plus(&c, c.count, 1), 9), 10);
    begin(&c);
    assert_int_equal(distance(&c, plus(&c, c.count, 3), 9), 4);
    begin(&c);
    assert_int_equal(distance(&c, plus(&c, c.count, 5), 4), 0);
}

static void set_back_it_still_counts(void **state)
{
    struct case_of c;
    flat_expr more;

    (void)state;
    begin(&c);
    more = plus(&c, c.count, 1);
    assert_int_equal(distance(&c, hand_ite(&c.h, c.go, hand_const(&c.h, 7),
                                           more), 99), 93);
}

static void guarded_it_never_gets_there(void **state)
{
    struct case_of c;
    flat_expr below, more, value;

    (void)state;
    begin(&c);
    below = hand_op(&c.h, FLAT_LT, c.count, hand_const(&c.h, 30000));
    value = hand_ite(&c.h, below, plus(&c, c.count, 1), c.count);
    assert_true(distance(&c, value, 30000) == DISTANCE_NEVER);
    begin(&c);
    below = hand_op(&c.h, FLAT_LT, c.count, hand_const(&c.h, 30000));
    value = hand_ite(&c.h, below, plus(&c, c.count, 1), c.count);
    assert_int_equal(distance(&c, value, 29999), 30000);
    /* looked at after counting: set back at 30001 */
    begin(&c);
    more = hand_ite(&c.h, c.go, plus(&c, c.count, 1), c.count);
    below = hand_op(&c.h, FLAT_LE, more, hand_const(&c.h, 30000));
    value = hand_ite(&c.h, below, more, hand_const(&c.h, 0));
    assert_true(distance(&c, value, 30000) == DISTANCE_NEVER);
}

static void guarded_by_something_else(void **state)
{
    struct case_of c;
    flat_expr guard, value;

    (void)state;
    begin(&c);
    guard = hand_op(&c.h, FLAT_OR,
                    hand_op(&c.h, FLAT_LT, hand_const(&c.h, 5), c.count),
                    c.go);
    value = hand_ite(&c.h, guard, c.count, plus(&c, c.count, 2));
    assert_true(distance(&c, value, 7) == DISTANCE_NEVER);
}

/* Two that feed each other: nothing is shown. */
static void feeding_each_other(void **state)
{
    struct case_of c;
    flat_expr other;

    (void)state;
    begin(&c);
    other = hand_cell(&c.h, 0, TYPE_HIGH, 1);
    hand_next(&c.h, other, hand_const(&c.h, 0), plus(&c, c.count, 1));
    assert_int_equal(distance(&c, plus(&c, other, 1), 50), 0);
}

static void too_small_only(void **state)
{
    unsigned never = 0, some = 0, exact = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        struct random_counter r;
        uint32_t level[COUNTER_WATCHES], situations;
        const struct slice *slice;

        random_counter_make(&r, seed, seed % 2);
        slice = hand_slice(&r.h);
        random_counter_walk(slice, level, &situations);
        for (uint32_t i = 0; i < COUNTER_WATCHES; i++) {
            uint64_t away = distance_least(slice, i, 1, NULL);

            if (level[i] != 0 && away >= level[i])
                fail_msg("seed %u, watch %u: seen at %u, said not before %u",
                         (unsigned)seed, i, level[i], (unsigned)away);
            never += away == DISTANCE_NEVER;
            some += away > 1 && away != DISTANCE_NEVER;
            exact += away > 1 && level[i] > 1 && away + 1 == level[i];
        }
        hand_release(&r.h);
    }
    print_message("%u never, %u far, %u of them exact\n", never, some,
                  exact);
    assert_true(never > SEEDS / 20 && some > SEEDS / 20 &&
                exact > SEEDS / 60);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_in_each_scan),
        cmocka_unit_test(set_back_it_still_counts),
        cmocka_unit_test(guarded_it_never_gets_there),
        cmocka_unit_test(guarded_by_something_else),
        cmocka_unit_test(feeding_each_other),
        cmocka_unit_test(too_small_only),
    };

    return cmocka_run_group_tests_name("distance", tests, NULL, NULL);
}
