/* The room of sets: what leaves an operation, and that the room is as good as
 * before where only steps were used up. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/vec.h"
#include "engine/sets/room.h"
#include "engine/sets/steps.h"

/* x(i) the same as y(i) for all i, the x before all y: 3 * 2^n - 1 nodes. */
enum { PAIRS = 16, SMALL = 4, VARIABLES = 2 * PAIRS };

static const bool trade[VARIABLES / 2];

static set same(struct room *room, uint32_t from, uint32_t n)
{
    set all = SET_ALL;

    for (uint32_t i = from; i < from + n; i++)
        all = room_apply(room, ROOM_AND, all,
                         room_apply(room, ROOM_SAME, room_variable(room, i),
                                    room_variable(room, PAIRS + i)));
    return all;
}

static void steps_are_counted(void **unused)
{
    struct room *room = room_open(VARIABLES, trade, NULL);
    uint64_t before = steps_made();

    (void)unused;
    same(room, 0, SMALL);
    assert_true(steps_made() > before);
    room_close(room);
}

static void what_takes_too_many_steps_is_left(void **unused)
{
    struct room *room = room_open(VARIABLES, trade, NULL);
    set small = same(room, 0, SMALL);
    uint32_t size = room_size(small);
    uint64_t before = steps_made();
    size_t mark = room_mark(room);

    (void)unused;
    steps_bind(10000);
    same(room, 0, PAIRS);
    assert_true(steps_passed());
    assert_true(steps_made() - before < 20000);
    assert_int_equal(room_apply(room, ROOM_AND, SET_ALL, small), SET_NONE);
    assert_false(steps_unbind());
    assert_false(room_use(room).full);
    room_leave(room, mark, NULL, 0);
    assert_int_equal(same(room, 0, SMALL), small);
    assert_int_equal(room_size(small), size);
    assert_int_equal(room_apply(room, ROOM_AND, same(room, 0, PAIRS / 2),
                                same(room, PAIRS / 2, PAIRS / 2)),
                     same(room, 0, PAIRS));
    room_close(room);
}

static void what_is_allowed_is_done(void **unused)
{
    struct room *room = room_open(VARIABLES, trade, NULL);

    (void)unused;
    steps_bind(100000);
    same(room, 0, SMALL);
    assert_true(steps_unbind());
    room_close(room);
}

static bool stops(void *context)
{
    int *left = context;

    return --*left < 0;
}

static void whoever_stops_it_is_asked_within(void **unused)
{
    int left = 2;
    const struct room_limits limits = {.stops = stops, .context = &left};
    struct room *room = room_open(VARIABLES, trade, &limits);
    uint64_t before = steps_made();

    (void)unused;
    same(room, 0, PAIRS);
    assert_true(room_use(room).full);
    assert_true(steps_made() - before < 50000);
    room_close(room);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_are_counted),
        cmocka_unit_test(what_takes_too_many_steps_is_left),
        cmocka_unit_test(what_is_allowed_is_done),
        cmocka_unit_test(whoever_stops_it_is_asked_within),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
