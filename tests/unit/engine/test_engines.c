/* Which engine is asked makes no difference; where two records differ it is
 * said in what. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/engines.h"
#include "tests/support/hand_slice.h"

/* A counter from 0 to 9 that a button drives on, `wide` beside it a bit that
 * follows the button; watch 0: 9 is reached. */
static const struct slice *counter(struct hand *h)
{
    flat_expr button = hand_choice(h, FLAT_OPERATOR, 2, 0);
    flat_expr count = hand_cell(h, 0, 9, 1), bit = hand_cell(h, 0, 1, 1);
    flat_expr below = hand_op(h, FLAT_LT, count, hand_const(h, 9));
    flat_expr up = hand_op(h, FLAT_ADD, count, hand_const(h, 1));

    up = hand_ite(h, below, up, count);
    hand_next(h, count, hand_const(h, 0), hand_ite(h, button, up, count));
    hand_next(h, bit, button, button);
    hand_watch(h, hand_const(h, 0),
               hand_op(h, FLAT_EQ, count, hand_const(h, 9)));
    return hand_slice(h);
}

static void whoever_answers(void **state)
{
    struct arena *arena = arena_new();
    struct explore_setting setting = {0};
    struct hand h;
    const struct slice *slice;
    struct engines_found found[4];

    (void)state;
    hand_init(&h);
    slice = counter(&h);
    for (int engine = ENGINE_FIRST; engine <= ENGINE_BOTH; engine++) {
        found[engine] = engines_find(arena, slice, &setting,
                                     (enum engine)engine);
        assert_null(found[engine].differ);
        assert_null(reach_differ(slice, found[0].reach,
                                 found[engine].reach));
    }
    assert_int_equal(found[0].reach->situations, 20);
    assert_string_equal(found[0].reach->count, "20");
    /* 9 is stored at judging 10 and read by the scan after it */
    assert_int_equal(found[0].reach->watch_level[0], 11);
    assert_int_equal(found[ENGINE_SETS].by, ENGINE_SETS);
    assert_int_equal(found[ENGINE_TILES].by, ENGINE_TILES);
    hand_release(&h);
    arena_free(arena);
}

/* Each thing that verdicts rest on is looked at. */
static void differences_are_told(void **state)
{
    struct arena *arena = arena_new();
    struct explore_setting setting = {0};
    uint32_t levels[1] = {3};
    int64_t high[2] = {8, 1};
    struct hand h;
    const struct slice *slice;
    const struct reach *reach;
    struct reach other;

    (void)state;
    hand_init(&h);
    slice = counter(&h);
    reach = engines_find(arena, slice, &setting, ENGINE_SETS).reach;
    other = *reach;
    assert_null(reach_differ(slice, reach, &other));
    other.count = "21";
    assert_non_null(reach_differ(slice, reach, &other));
    other = *reach;
    other.watch_level = levels;
    assert_non_null(reach_differ(slice, reach, &other));
    other = *reach;
    other.dead_end = 4;
    assert_non_null(reach_differ(slice, reach, &other));
    other = *reach;
    other.high = high;
    assert_non_null(reach_differ(slice, reach, &other));
    other = *reach;
    other.end = EXPLORE_MEMORY;
    assert_non_null(reach_differ(slice, reach, &other));
    hand_release(&h);
    arena_free(arena);
}

/* From everywhere the counter can be brought to 9; not where the button is
 * held fast. */
static void brought_about_again(void **state)
{
    static const uint32_t held[1] = {0};
    struct explore_setting setting = {0};
    struct regain_asked asked = {.goal = 0, .asked = FLAT_NONE};
    struct regain_found found;
    struct hand h;
    const struct slice *slice;

    (void)state;
    hand_init(&h);
    slice = counter(&h);
    found = engines_regain(NULL, slice, &setting, &asked);
    assert_int_equal(found.regain, REGAIN_ALWAYS);
    asked.fixed = held;
    found = engines_regain(NULL, slice, &setting, &asked);
    assert_int_equal(found.regain, REGAIN_NOT);
    assert_null(found.astray);
    setting.most_situations = 5;
    found = engines_regain(NULL, slice, &setting, &asked);
    assert_int_equal(found.regain, REGAIN_LOST);
    hand_release(&h);
}

static bool stop_now(void *context)
{
    ++*(unsigned *)context;
    return true;
}

static void a_signal_ends_both(void **state)
{
    struct arena *arena = arena_new();
    unsigned asked = 0;
    struct explore_setting setting = {.interrupted = stop_now,
                                      .interrupted_context = &asked};
    struct hand h;
    const struct slice *slice;
    struct engines_found found;

    (void)state;
    hand_init(&h);
    slice = counter(&h);
    found = engines_find(arena, slice, &setting, ENGINE_SETS);
    assert_int_equal(found.reach->end, EXPLORE_INTERRUPTED);
    assert_true(asked > 0);
    found = engines_find(arena, slice, &setting, ENGINE_FIRST);
    assert_int_equal(found.reach->end, EXPLORE_INTERRUPTED);
    hand_release(&h);
    arena_free(arena);
}

/* A limit is a limit, whoever was quicker. */
static void a_limit_ends_both_alike(void **state)
{
    struct arena *arena = arena_new();
    struct explore_setting setting = {.most_situations = 5};
    struct hand h;
    const struct slice *slice;

    (void)state;
    hand_init(&h);
    slice = counter(&h);
    for (int i = 0; i < 20; i++) {
        struct engines_found found =
            engines_find(arena, slice, &setting, ENGINE_FIRST);

        assert_int_equal(found.reach->end, EXPLORE_SITUATIONS);
        assert_int_equal(found.by, ENGINE_TILES);
        assert_true(found.reach->situations <= 5);
        assert_true(found.reach->levels > 0);
    }
    hand_release(&h);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whoever_answers),
        cmocka_unit_test(differences_are_told),
        cmocka_unit_test(brought_about_again),
        cmocka_unit_test(a_signal_ends_both),
        cmocka_unit_test(a_limit_ends_both_alike),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
