#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "engine/edges.h"
#include "engine/explore.h"
#include "tests/support/hand_slice.h"

enum { MOST = 16 };

struct seen {
    uint32_t n, most;
    uint64_t from[MOST], to[MOST];
    uint32_t choice[MOST];
    int64_t value[MOST];
    bool watch[MOST];
};

static bool note(void *context, const struct edge *edge)
{
    struct seen *seen = context;

    assert_true(seen->n < MOST);
    seen->from[seen->n] = edge->from;
    seen->to[seen->n] = edge->to;
    seen->choice[seen->n] = edge->choice[0];
    seen->value[seen->n] = edge->value[0];
    seen->watch[seen->n] = edge->watch[0];
    return ++seen->n < seen->most;
}

/* A valve that the button toggles; at 1 a value of 2 on the button is an
 * error; the view asks for ten times the new position. */
static void make(struct hand *h)
{
    flat_expr button = hand_choice(h, FLAT_OPERATOR, 3, 0);
    flat_expr valve = hand_cell(h, 0, 1, 1);
    flat_expr one = hand_const(h, 1), zero = hand_const(h, 0);
    flat_expr pressed = hand_op(h, FLAT_LE, one, button);
    flat_expr next = hand_op(h, FLAT_XOR, valve, pressed);
    flat_expr two = hand_op(h, FLAT_EQ, button, hand_const(h, 2));

    hand_next(h, valve, zero, next);
    hand_end(h, zero, hand_op(h, FLAT_AND, valve, two));
    hand_watch(h, zero, next);
    hand_value(h, hand_const(h, 5),
               hand_op(h, FLAT_MUL, next, hand_const(h, 10)));
}

static void shows_each_way_once(void **state)
{
    static const uint64_t to[] = {0, 0, 1, 1, 1, 0, UINT64_MAX};
    static const int64_t value[] = {5, 0, 10, 10, 10, 0, 0};
    static const uint32_t choice[] = {FLAT_NONE, 0, 1, 2, 0, 1, 2};
    struct seen seen = {.most = MOST};
    struct exploration *x;
    struct hand h;

    (void)state;
    hand_init(&h);
    make(&h);
    x = explore(hand_slice(&h), NULL);
    assert_true(edges_all(x, note, &seen));
    assert_int_equal(seen.n, 7);
    for (uint32_t i = 0; i < 7; i++) {
        assert_true(seen.from[i] ==
                    (i == 0 ? UINT64_MAX : i < 4 ? 0u : 1u));
        assert_true(seen.to[i] == to[i]);
        assert_int_equal(seen.value[i], value[i]);
        assert_int_equal(seen.choice[i], choice[i]);
        assert_int_equal(seen.watch[i], to[i] == 1);
    }
    exploration_free(x);
    hand_release(&h);
}

static void stops_when_told(void **state)
{
    struct seen seen = {.most = 2}, rest = {.most = MOST};
    struct exploration *x;
    struct hand h;

    (void)state;
    hand_init(&h);
    make(&h);
    x = explore(hand_slice(&h), NULL);
    assert_false(edges_all(x, note, &seen));
    assert_int_equal(seen.n, 2);
    assert_true(edges_from(x, 1, note, &rest));
    assert_int_equal(rest.n, 3);
    seen.n = 0;
    assert_false(edges_from(x, 0, note, &seen));
    assert_int_equal(seen.n, 2);
    exploration_free(x);
    hand_release(&h);
}

static void says_what_was_not_stored(void **state)
{
    struct explore_setting setting = {.most_situations = 1};
    struct seen seen = {.most = MOST};
    struct exploration *x;
    struct hand h;

    (void)state;
    hand_init(&h);
    make(&h);
    x = explore(hand_slice(&h), &setting);
    assert_true(edges_from(x, 0, note, &seen));
    assert_int_equal(seen.n, 3);
    assert_true(seen.to[0] == 0);
    assert_true(seen.to[1] == UINT64_MAX - 1);
    exploration_free(x);
    hand_release(&h);
}

/* What is given holds for that walk only, also after one was left early. */
static void keeps_to_what_is_given(void **state)
{
    static const uint32_t one[] = {1}, two[] = {2}, none[] = {FLAT_NONE};
    struct seen seen = {.most = MOST}, few = {.most = 1};
    struct exploration *x;
    struct hand h;

    (void)state;
    hand_init(&h);
    make(&h);
    x = explore(hand_slice(&h), NULL);
    assert_false(edges_given(x, 0, none, note, &few));
    assert_true(edges_given(x, 0, one, note, &seen));
    assert_int_equal(seen.n, 1);
    assert_int_equal(seen.choice[0], 1);
    assert_true(edges_given(x, 0, two, note, &seen));
    assert_int_equal(seen.n, 2);
    assert_int_equal(seen.choice[1], 2);
    assert_true(edges_given(x, 0, none, note, &seen));
    assert_int_equal(seen.n, 5);
    assert_true(edges_from(x, 0, note, &seen));
    assert_int_equal(seen.n, 8);
    exploration_free(x);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shows_each_way_once),
        cmocka_unit_test(stops_when_told),
        cmocka_unit_test(says_what_was_not_stored),
        cmocka_unit_test(keeps_to_what_is_given),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
