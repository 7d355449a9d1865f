#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/explore.h"
#include "engine/sequence.h"
#include "tests/support/hand_slice.h"

/* A slice, its exploration, and room for sequences. */
struct trial {
    struct hand h;
    struct arena *arena;
    struct exploration *x;
};

static void begin(struct trial *t)
{
    hand_init(&t->h);
    t->arena = arena_new();
}

static void run(struct trial *t)
{
    t->x = explore(hand_slice(&t->h), NULL);
}

static void end(struct trial *t)
{
    exploration_free(t->x);
    arena_free(t->arena);
    hand_release(&t->h);
}

static flat_expr op(struct trial *t, enum flat_op what, flat_expr a,
                    flat_expr b)
{
    return hand_op(&t->h, what, a, b);
}

static flat_expr number(struct trial *t, int64_t value)
{
    return hand_const(&t->h, value);
}

static uint32_t choice_at(const struct sequence *s, uint32_t scan,
                          uint32_t row)
{
    return s->choices[(size_t)(scan - 1) * s->n_choices + row];
}

static bool decided_at(const struct sequence *s, uint32_t scan,
                       uint32_t row)
{
    return s->decided[(size_t)(scan - 1) * s->n_choices + row];
}

/* One press in any of the scans 2, 3, 4 does: pressing last comes first,
 * since the choices of scan 2 are compared first and rest is smallest. */
static void acts_as_late_as_it_can(void **state)
{
    flat_expr button, armed, time, up, is_up, late, now;
    const struct sequence *s;
    struct trial t;

    (void)state;
    begin(&t);
    button = hand_choice(&t.h, FLAT_OPERATOR, 2, 0);
    armed = hand_cell(&t.h, 0, 1, 1);
    time = hand_cell(&t.h, 0, 4, 1);
    now = op(&t, FLAT_OR, armed, button);
    hand_next(&t.h, armed, number(&t, 0), now);
    is_up = op(&t, FLAT_LT, time, number(&t, 4));
    up = op(&t, FLAT_ADD, time, number(&t, 1));
    hand_next(&t.h, time, number(&t, 0),
              hand_ite(&t.h, is_up, up, number(&t, 4)));
    late = op(&t, FLAT_EQ, time, number(&t, 2));
    hand_watch(&t.h, number(&t, 0), op(&t, FLAT_AND, late, now));
    run(&t);
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 0);
    assert_non_null(s);
    assert_int_equal(s->length, 4);
    assert_int_equal(s->operator_cost, 1);
    assert_int_equal(s->fault_cost, 0);
    for (uint32_t scan = 1; scan <= 4; scan++)
        assert_int_equal(choice_at(s, scan, 0), scan == 4);
    assert_false(decided_at(s, 1, 0));
    assert_true(decided_at(s, 4, 0));
    end(&t);
}

/* A fault does what two hands do: it is dearer than no fault, but operator
 * actions are counted first. */
static void weighs_actions_before_faults(void **state)
{
    flat_expr left, right, fault, hands, cell, reached;
    const struct sequence *s;
    struct trial t;

    (void)state;
    begin(&t);
    fault = hand_choice(&t.h, FLAT_FAULT, 2, 0);
    left = hand_choice(&t.h, FLAT_OPERATOR, 2, 0);
    right = hand_choice(&t.h, FLAT_INPUT, 2, 1);
    cell = hand_cell(&t.h, 0, 1, 1);
    hands = op(&t, FLAT_AND, left,
               op(&t, FLAT_NOT, right, FLAT_NONE));
    reached = op(&t, FLAT_OR, hands, fault);
    hand_next(&t.h, cell, number(&t, 0), reached);
    hand_watch(&t.h, number(&t, 0), reached);
    hand_watch(&t.h, number(&t, 0), hands);
    run(&t);
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 0);
    assert_int_equal(s->length, 2);
    assert_int_equal(s->operator_cost, 0);
    assert_int_equal(s->fault_cost, 1);
    assert_int_equal(choice_at(s, 2, 0), 1);
    assert_int_equal(choice_at(s, 2, 1), 0);
    assert_int_equal(choice_at(s, 2, 2), 1);
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 1);
    assert_int_equal(s->operator_cost, 2);
    assert_int_equal(s->fault_cost, 0);
    assert_int_equal(choice_at(s, 2, 2), 0);
    /* rows of the first scan stand at rest, unread */
    assert_int_equal(choice_at(s, 1, 2), 1);
    assert_false(decided_at(s, 1, 2));
    end(&t);
}

/* Among the values that do, that at rest comes first, then ascending; a
 * selector at rest 2 with 2 excluded therefore stands at 0. */
static void rest_comes_first_then_ascending(void **state)
{
    flat_expr shared, start, no, two, either;
    const struct sequence *s;
    struct trial t;

    (void)state;
    begin(&t);
    start = hand_choice(&t.h, FLAT_START, 4, 0);
    shared = hand_choice(&t.h, FLAT_SHARED, 4, 2);
    no = number(&t, 0);
    two = op(&t, FLAT_EQ, shared, number(&t, 2));
    either = op(&t, FLAT_LE, number(&t, 1), shared);
    hand_watch(&t.h, op(&t, FLAT_NOT, two, FLAT_NONE), no);
    hand_watch(&t.h, either, no);
    hand_watch(&t.h, op(&t, FLAT_LT, number(&t, 1), start), no);
    run(&t);
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 0);
    assert_int_equal(choice_at(s, 1, 1), 0);
    assert_int_equal(s->operator_cost, 0); /* shared ones cost nothing */
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 1);
    assert_int_equal(choice_at(s, 1, 1), 2);
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 2);
    assert_int_equal(choice_at(s, 1, 0), 2);
    end(&t);
}

/* Two movements lead to the same place, one by moving twice. */
static void prefers_fewer_movements(void **state)
{
    flat_expr a, b, cell, stays, moved;
    const struct sequence *s;
    struct trial t;

    (void)state;
    begin(&t);
    a = hand_choice(&t.h, FLAT_MACHINE, 2, 0);
    b = hand_choice(&t.h, FLAT_MACHINE, 2, 0);
    cell = hand_cell(&t.h, 0, 2, 1);
    moved = op(&t, FLAT_ADD, a, b);
    stays = op(&t, FLAT_EQ, cell, number(&t, 0));
    hand_next(&t.h, cell, number(&t, 0),
              hand_ite(&t.h, stays, moved, cell));
    hand_watch(&t.h, number(&t, 0),
               op(&t, FLAT_LE, number(&t, 1), moved));
    hand_motion(&t.h, number(&t, 0), a);
    hand_motion(&t.h, number(&t, 0), b);
    run(&t);
    s = sequence_find(t.arena, t.x, GOAL_WATCH, 0);
    assert_int_equal(s->length, 2);
    assert_int_equal(s->movement_cost, 1);
    assert_int_equal(choice_at(s, 2, 0), 0);
    assert_int_equal(choice_at(s, 2, 1), 1);
    end(&t);
}

/* The tank fills by a fault or by hand; full, no input fits any more if the
 * fault appears. */
static void leads_into_a_dead_end(void **state)
{
    flat_expr fault, hand, full, fits, row;
    const struct sequence *s;
    struct trial t;

    (void)state;
    begin(&t);
    fault = hand_choice(&t.h, FLAT_FAULT, 2, 0);
    hand = hand_choice(&t.h, FLAT_OPERATOR, 2, 0);
    full = hand_cell(&t.h, 0, 1, 1);
    hand_next(&t.h, full, number(&t, 0), op(&t, FLAT_OR, full, hand));
    row = op(&t, FLAT_AND, full, fault);
    fits = op(&t, FLAT_NOT, row, FLAT_NONE);
    hand_assume(&t.h, number(&t, 1), fits);
    run(&t);
    assert_int_equal(exploration_dead_end(t.x), 2);
    s = sequence_find(t.arena, t.x, GOAL_DEAD_END, 0);
    assert_int_equal(s->length, 3);
    assert_int_equal(choice_at(s, 2, 1), 1);
    assert_int_equal(choice_at(s, 3, 0), 1);
    assert_int_equal(choice_at(s, 3, 1), 0);
    assert_int_equal(s->operator_cost, 1);
    assert_int_equal(s->fault_cost, 1);
    end(&t);
}

static void what_was_not_seen_has_no_sequence(void **state)
{
    struct trial t;

    (void)state;
    begin(&t);
    hand_watch(&t.h, number(&t, 0), number(&t, 0));
    hand_end(&t.h, number(&t, 0), number(&t, 0));
    run(&t);
    assert_null(sequence_find(t.arena, t.x, GOAL_WATCH, 0));
    assert_null(sequence_find(t.arena, t.x, GOAL_END, 0));
    assert_null(sequence_find(t.arena, t.x, GOAL_DEAD_END, 0));
    end(&t);
}

static void leads_to_an_error(void **state)
{
    const struct sequence *s;
    flat_expr a, b;
    struct trial t;

    (void)state;
    begin(&t);
    a = hand_choice(&t.h, FLAT_INPUT, 3, 1);
    b = op(&t, FLAT_LE, number(&t, 1), a);
    hand_end(&t.h, number(&t, 0), op(&t, FLAT_EQ, a, number(&t, 2)));
    hand_end(&t.h, number(&t, 0), b);
    run(&t);
    s = sequence_find(t.arena, t.x, GOAL_END, 0);
    assert_int_equal(s->length, 2);
    assert_int_equal(choice_at(s, 2, 0), 2);
    s = sequence_find(t.arena, t.x, GOAL_END, 1);
    assert_int_equal(choice_at(s, 2, 0), 1); /* at 2 the first one holds */
    end(&t);
}

/* The hand must change in every scan: what is fixed in the last scan says
 * where it begins. */
static void completes_to_a_given_length(void **state)
{
    uint32_t fixed[4] = {FLAT_NONE, FLAT_NONE, FLAT_NONE, 1};
    const struct sequence *s;
    flat_expr hand, last;
    struct trial t;

    (void)state;
    begin(&t);
    hand = hand_choice(&t.h, FLAT_OPERATOR, 2, 0);
    last = hand_cell(&t.h, 0, 1, 1);
    hand_next(&t.h, last, hand, hand);
    hand_assume(&t.h, number(&t, 1), op(&t, FLAT_XOR, hand, last));
    run(&t);
    s = sequence_of_length(t.arena, t.x, 4, NULL);
    assert_int_equal(s->length, 4);
    assert_int_equal(s->operator_cost, 2);
    for (uint32_t scan = 1; scan <= 4; scan++)
        assert_int_equal(choice_at(s, scan, 0), scan % 2 == 0);
    s = sequence_of_length(t.arena, t.x, 4, fixed);
    assert_int_equal(choice_at(s, 1, 0), 0);
    fixed[3] = 0;
    s = sequence_of_length(t.arena, t.x, 4, fixed);
    for (uint32_t scan = 1; scan <= 4; scan++)
        assert_int_equal(choice_at(s, scan, 0), scan % 2);
    fixed[0] = 0;
    assert_null(sequence_of_length(t.arena, t.x, 4, fixed));
    end(&t);
}

/* Pressing moves on one way, the other button the other way: the watch holds
 * from the first scan on, but only one place is wanted. */
static void leads_into_what_is_marked(void **state)
{
    flat_expr on, back, place, next;
    const struct sequence *s;
    bool into[8] = {false};
    struct trial t;

    (void)state;
    begin(&t);
    on = hand_choice(&t.h, FLAT_OPERATOR, 2, 0);
    back = hand_choice(&t.h, FLAT_OPERATOR, 2, 0);
    place = hand_cell(&t.h, 0, 3, 1);
    next = hand_ite(&t.h, back, number(&t, 3),
                    hand_ite(&t.h, op(&t, FLAT_AND, on,
                                      op(&t, FLAT_LT, place, number(&t, 2))),
                             op(&t, FLAT_ADD, place, number(&t, 1)), place));
    hand_next(&t.h, place, number(&t, 0), next);
    hand_watch(&t.h, number(&t, 1),
               op(&t, FLAT_NOT, op(&t, FLAT_AND, on, back), FLAT_NONE));
    run(&t);
    for (uint64_t i = 0; i < exploration_situations(t.x); i++)
        into[i] = exploration_value(t.x, i, 0) == 2;
    s = sequence_into(t.arena, t.x, 0, into, 3);
    assert_int_equal(s->length, 3);
    assert_int_equal(s->operator_cost, 2);
    assert_int_equal(choice_at(s, 2, 0), 1);
    assert_int_equal(choice_at(s, 3, 0), 1);
    for (uint64_t i = 0; i < exploration_situations(t.x); i++)
        into[i] = exploration_value(t.x, i, 0) == 3;
    s = sequence_into(t.arena, t.x, 0, into, 2);
    assert_int_equal(s->operator_cost, 1);
    assert_int_equal(choice_at(s, 2, 1), 1);
    end(&t);
}

/* ---- a walk that must be left ---- */

enum { BUTTONS = 14 };

static bool at_once(void *context)
{
    ++*(uint32_t *)context;
    return true;
}

/* Only with all buttons pressed, which is what is tried last. */
static void hard_to_find(struct trial *t)
{
    flat_expr cell = hand_cell(&t->h, 0, 1, 1);
    flat_expr sum = number(t, 0), all;

    for (int i = 0; i < BUTTONS; i++)
        sum = op(t, FLAT_ADD, sum, hand_choice(&t->h, FLAT_OPERATOR, 2, 0));
    all = op(t, FLAT_EQ, sum, number(t, BUTTONS));
    hand_next(&t->h, cell, number(t, 0), op(t, FLAT_OR, cell, all));
    hand_watch(&t->h, number(t, 0), op(t, FLAT_OR, cell, all));
}

static void a_signal_ends_the_search(void **state)
{
    uint32_t asked = 0;
    struct trial t;

    (void)state;
    begin(&t);
    hard_to_find(&t);
    run(&t);
    exploration_listen(t.x, at_once, &asked);
    assert_null(sequence_find(t.arena, t.x, GOAL_WATCH, 0));
    assert_null(sequence_of_length(t.arena, t.x, 3, NULL));
    assert_int_equal(asked, 2);
    exploration_listen(t.x, NULL, NULL);
    assert_int_equal(sequence_find(t.arena, t.x, GOAL_WATCH, 0)
                         ->operator_cost, BUTTONS);
    end(&t);
}

/* The same where there is more work than is allowed: the walk ends as
 * interrupted, always at the same place. */
static void too_much_work_ends_the_search(void **state)
{
    static const uint64_t most[] = {1000, 20000000, 1000};
    static const bool until[1] = {true};
    uint64_t situations[3];
    struct trial t;

    (void)state;
    begin(&t);
    hard_to_find(&t);
    for (int i = 0; i < 3; i++) {
        const struct explore_setting setting = {
            .until = until, .most_work = most[i]};
        const struct sequence *s;

        t.x = explore(hand_slice(&t.h), &setting);
        s = sequence_find(t.arena, t.x, GOAL_WATCH, 0);
        assert_int_equal(exploration_spent(t.x), i != 1);
        assert_int_equal(exploration_end(t.x),
                         i == 1 ? EXPLORE_SEEN : EXPLORE_INTERRUPTED);
        assert_int_equal(s != NULL, i == 1);
        situations[i] = exploration_situations(t.x);
        exploration_free(t.x);
    }
    assert_int_equal(situations[2], situations[0]);
    t.x = NULL;
    end(&t);
}

/* Their sum is odd: 20 ** 16 / 2 ways that cost the same.  The first of them
 * has 1 in the last row, whichever row is read first. */
static void of_many_ways_the_first(void **state)
{
    static const bool until[1] = {true};
    const struct explore_setting setting = {.until = until};
    enum { ROWS = 16, VALUES = 20 };

    (void)state;
    for (int turned = 0; turned < 2; turned++) {
        const struct sequence *s;
        flat_expr row[ROWS], sum;
        struct trial t;

        begin(&t);
        for (int i = 0; i < ROWS; i++)
            row[i] = hand_choice(&t.h, FLAT_ANY, VALUES, 0);
        sum = row[turned ? ROWS - 1 : 0];
        for (int i = 1; i < ROWS; i++)
            sum = op(&t, FLAT_ADD, sum, row[turned ? ROWS - 1 - i : i]);
        sum = op(&t, FLAT_EQ, op(&t, FLAT_MOD, sum, number(&t, 2)),
                 number(&t, 1));
        hand_watch(&t.h, sum, sum);
        t.x = explore(hand_slice(&t.h), &setting);
        s = sequence_find(t.arena, t.x, GOAL_WATCH, 0);
        assert_non_null(s);
        assert_int_equal(s->length, 1);
        for (uint32_t i = 0; i < ROWS; i++)
            assert_int_equal(choice_at(s, 1, i), i == ROWS - 1);
        end(&t);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(acts_as_late_as_it_can),
        cmocka_unit_test(weighs_actions_before_faults),
        cmocka_unit_test(rest_comes_first_then_ascending),
        cmocka_unit_test(prefers_fewer_movements),
        cmocka_unit_test(leads_into_a_dead_end),
        cmocka_unit_test(what_was_not_seen_has_no_sequence),
        cmocka_unit_test(leads_to_an_error),
        cmocka_unit_test(completes_to_a_given_length),
        cmocka_unit_test(leads_into_what_is_marked),
        cmocka_unit_test(too_much_work_ends_the_search),
        cmocka_unit_test(of_many_ways_the_first),
        cmocka_unit_test(a_signal_ends_the_search),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
