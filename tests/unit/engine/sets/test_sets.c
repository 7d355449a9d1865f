/* The engine over sets against the one that stores situation by situation,
 * on random slices and on slices with known answers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/counted.h"
#include "engine/edges.h"
#include "engine/sets/run.h"
#include "engine/sets/sets.h"
#include "engine/sets/shortest.h"
#include "tests/support/random_slice.h"
#include "tests/support/same_reach.h"

enum { SLICES = 1500 };

/* ---- random slices ---- */

static void same_sequence(struct arena *arena, struct sets *s,
                          struct exploration *x, enum sequence_goal goal,
                          uint32_t index)
{
    enum explore_end end;
    const struct sequence *a = sequence_find(arena, x, goal, index);
    const struct sequence *b = sets_sequence(arena, s, goal, index, &end);

    assert_int_equal(end, EXPLORE_COMPLETE);
    assert_false(sets_lost(s));
    same_sequences(a, b);
}

static void compare_run(const struct slice *slice,
                        const struct explore_setting *setting)
{
    struct arena *arena = arena_new();
    struct exploration *x = explore(slice, setting);
    struct sets *s = sets_explore(slice, setting);

    same_reach(slice, exploration_reach(arena, x), sets_reach(s));
    for (uint32_t i = 0; i < slice->n_watches; i++)
        same_sequence(arena, s, x, GOAL_WATCH, i);
    for (uint32_t i = 0; i < slice->n_ends; i++)
        same_sequence(arena, s, x, GOAL_END, i);
    same_sequence(arena, s, x, GOAL_DEAD_END, 0);
    sets_free(s);
    exploration_free(x);
    arena_free(arena);
}

static void compare_until(const struct slice *slice,
                          struct explore_setting setting)
{
    struct arena *arena = arena_new();
    bool until[3] = {true, false, true};
    struct exploration *x;
    struct sets *s;

    setting.until = until;
    x = explore(slice, &setting);
    s = sets_explore(slice, &setting);
    assert_int_equal(exploration_end(x), sets_reach(s)->end);
    assert_int_equal(exploration_levels(x), sets_reach(s)->levels);
    for (uint32_t i = 0; i < 3; i += 2) {
        assert_int_equal(exploration_watch_level(x, i),
                         sets_reach(s)->watch_level[i]);
        same_sequence(arena, s, x, GOAL_WATCH, i);
    }
    sets_free(s);
    exploration_free(x);
    arena_free(arena);
}

/* ---- the situations of a path ---- */

struct marking {
    struct exploration *x;
    uint32_t watch;
    bool last;         /* the row that sees the watch */
    const bool *ahead; /* per situation: of the level after */
    bool *here;
};

static bool mark(void *context, const struct edge *edge)
{
    struct marking *m = context;
    bool stored = edge->to < exploration_situations(m->x);

    if (edge->from != UINT64_MAX && stored &&
        (m->last ? edge->watch[m->watch] : m->ahead[edge->to]))
        m->here[edge->from] = true;
    return true;
}

/* What a list of a path hands over, per situation of the other engine. */
struct handed {
    const struct slice *slice;
    const struct exploration *x;
    bool *here;
};

static bool take(void *context, const int64_t *cells)
{
    const struct handed *h = context;
    uint32_t found = 0;

    for (uint64_t i = 0; i < exploration_situations(h->x); i++) {
        bool same = true;

        for (uint32_t c = 0; c < h->slice->n_cells; c++)
            same &= cells[c] == exploration_value(h->x, i, c);
        if (!same)
            continue;
        assert_false(h->here[i]);
        h->here[i] = true;
        found++;
    }
    assert_int_equal(found, 1);
    return true;
}

static void same_path(const struct slice *slice, struct exploration *x,
                      const struct sets_path *path, struct marking *m)
{
    struct arena *arena = arena_new();
    uint64_t end = exploration_situations(x);

    for (uint32_t r = exploration_levels(x); r > 0; r--) {
        uint64_t begin = end - exploration_level_size(x, r);
        bool on = r < sets_path_length(path);

        m->last = r + 1 == sets_path_length(path);
        m->here = arena_array(arena, exploration_situations(x) + 1, 1);
        if (on)
            edges_all(x, mark, m);
        for (uint64_t i = 0; i < exploration_situations(x); i++)
            m->here[i] &= i >= begin && i < end;
        if (on) {
            struct handed h = {slice, x, NULL};

            h.here = arena_array(arena, exploration_situations(x) + 1, 1);
            sets_path_list(path, r, take, &h);
            assert_memory_equal(h.here, m->here, exploration_situations(x));
        }
        m->ahead = m->here;
        end = begin;
    }
    arena_free(arena);
}

/* Against marking backwards over the edges of the other engine. */
static void paths_hold_shortest_ways_only(void **state)
{
    uint32_t long_ones = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++) {
        struct random_slice r;
        const struct slice *slice;
        struct exploration *x;
        struct sets *s;

        random_slice_make(&r, seed);
        slice = hand_slice(&r.h);
        x = explore(slice, NULL);
        s = sets_explore(slice, NULL);
        for (uint32_t i = 0; i < 3; i++) {
            const struct sets_path *path = sets_path(s, GOAL_WATCH, i);
            struct marking m = {.x = x, .watch = i};

            if (!path || sets_path_length(path) < 2)
                continue;
            long_ones += sets_path_length(path) > 2;
            same_path(slice, x, path, &m);
        }
        sets_free(s);
        exploration_free(x);
        hand_release(&r.h);
    }
    assert_true(long_ones > 20);
}

/* ---- whole runs ---- */

static void compare_random(uint64_t seed)
{
    struct explore_setting setting = {0};
    struct random_slice r;
    const struct slice *slice;

    random_slice_make(&r, seed);
    if (seed % 3 == 0) /* every third has some choices fixed */
        random_slice_fix(&r, &setting);
    slice = hand_slice(&r.h);
    compare_run(slice, &setting);
    compare_until(slice, setting);
    hand_release(&r.h);
}

static void agrees_on_random_slices(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++)
        compare_random(seed);
}

/* ---- slices with known answers ---- */

/* n counters from 0 to 9, each of which may go on in a scan or not. */
static const struct slice *counters(struct hand *h, uint32_t n)
{
    hand_init(h);
    for (uint32_t i = 0; i < n; i++) {
        flat_expr go = hand_choice(h, FLAT_OPERATOR, 2, 0);
        flat_expr cell = hand_cell(h, 0, 9, 1);
        flat_expr next = hand_op(h, FLAT_ADD, cell, go);

        hand_next(h, cell, hand_const(h, 0),
                  hand_op(h, FLAT_MOD, next, hand_const(h, 10)));
    }
    return hand_slice(h);
}

/* After level k each counter has any of k values: k^100 situations. */
static void counts_exactly(void **state)
{
    const struct reach *r;
    struct sets *s;
    struct hand h;

    (void)state;
    s = sets_explore(counters(&h, 100), NULL);
    r = sets_reach(s);
    assert_int_equal(r->end, EXPLORE_COMPLETE);
    assert_int_equal(r->levels, 10);
    assert_int_equal(r->level_size[0], 1);
    assert_true(r->level_size[1] == UINT64_MAX);
    assert_true(r->situations == UINT64_MAX);
    assert_int_equal(strlen(r->count), 101);
    assert_int_equal(r->count[0], '1');
    assert_int_equal(strspn(r->count + 1, "0"), 100);
    assert_int_equal(r->low[99], 0);
    assert_int_equal(r->high[99], 9);
    sets_free(s);
    hand_release(&h);
}

static void stops_at_most_situations(void **state)
{
    for (uint64_t most = 1; most <= 101; most++) {
        struct explore_setting setting = {.most_situations = most};
        struct arena *arena = arena_new();
        struct hand h;
        const struct slice *slice = counters(&h, 2);
        struct sets *s = sets_explore(slice, &setting);
        struct exploration *x = explore(slice, &setting);
        const struct reach *a = sets_reach(s);
        const struct reach *b = exploration_reach(arena, x);

        (void)state;
        assert_int_equal(a->end, most < 100 ? EXPLORE_SITUATIONS
                                            : EXPLORE_COMPLETE);
        assert_int_equal(a->end, b->end);
        assert_int_equal(a->levels, b->levels);
        assert_string_equal(a->count, b->count);
        assert_int_equal(a->situations, b->situations);
        assert_int_equal(a->low == NULL, most < 100);
        exploration_free(x);
        sets_free(s);
        hand_release(&h);
        arena_free(arena);
    }
}

/* The middle digits of a product make large diagrams in any order. */
static const struct slice *product(struct hand *h, uint32_t values)
{
    flat_expr part[2], z;
    int64_t most = (int64_t)values - 1;

    hand_init(h);
    for (uint32_t i = 0; i < 2; i++) {
        flat_expr more = hand_choice(h, FLAT_OPERATOR, values, 0);

        part[i] = hand_cell(h, 0, most, 1);
        hand_next(h, part[i], hand_const(h, 0), more);
    }
    z = hand_cell(h, 0, most * most, 1);
    hand_next(h, z, hand_const(h, 0),
              hand_op(h, FLAT_MUL, part[0], part[1]));
    return hand_slice(h);
}

static void stops_at_most_bytes(void **state)
{
    static const uint64_t most[] = {1000, 400 << 10, 1 << 20, 4 << 20};
    struct hand h;
    const struct slice *slice = product(&h, 1024);

    (void)state;
    for (uint32_t i = 0; i < 4; i++) {
        struct explore_setting setting = {.most_bytes = most[i]};
        struct sets *s = sets_explore(slice, &setting);
        const struct reach *r = sets_reach(s);

        assert_int_equal(r->end, EXPLORE_MEMORY);
        assert_null(r->low);
        assert_true(sets_lost(s));
        assert_true(r->levels < 3);
        sets_free(s);
        compare_random(i + 1); /* what comes after is not touched */
    }
    hand_release(&h);
}

static bool at_once(void *unused)
{
    (void)unused;
    return true;
}

static void can_be_interrupted(void **state)
{
    struct explore_setting setting = {.interrupted = at_once};
    struct hand h;
    struct sets *s = sets_explore(counters(&h, 3), &setting);

    (void)state;
    assert_int_equal(sets_reach(s)->end, EXPLORE_INTERRUPTED);
    assert_int_equal(sets_reach(s)->levels, 0);
    assert_null(sets_path(s, GOAL_DEAD_END, 0));
    sets_free(s);
    hand_release(&h);
}

static bool after_a_while(void *begun)
{
    return clock() - *(const clock_t *)begun > CLOCKS_PER_SEC / 5;
}

/* This product takes minutes, most of them in a few operations: between
 * operations alone nobody would be heard in time. */
static void large_operations_are_left(void **state)
{
    clock_t begun = clock();
    struct explore_setting setting = {.interrupted = after_a_while,
                                      .interrupted_context = &begun};
    struct hand h;
    struct sets *s = sets_explore(product(&h, 1 << 16), &setting);

    (void)state;
    assert_int_equal(sets_reach(s)->end, EXPLORE_INTERRUPTED);
    assert_true(sets_lost(s));
    assert_null(sets_reach(s)->low);
    print_message("left with %llu nodes made\n",
                  (unsigned long long)room_use(s->room).effort);
    assert_true(clock() - begun < 10 * CLOCKS_PER_SEC);
    sets_free(s);
    hand_release(&h);
    for (uint64_t seed = 1; seed < 5; seed++)
        compare_random(seed); /* what comes after is not touched */
}

/* Values that no cell can hold are moved as the other engine moves them. */
static void moves_what_does_not_fit(void **state)
{
    struct hand h;
    flat_expr up, down, go, sum;
    struct sets *s;

    (void)state;
    hand_init(&h);
    go = hand_choice(&h, FLAT_OPERATOR, 3, 0);
    up = hand_cell(&h, 0, 6, 2);
    down = hand_cell(&h, -3, 3, 1);
    sum = hand_op(&h, FLAT_ADD, up, go);
    hand_next(&h, up, hand_const(&h, 0), sum);
    hand_next(&h, down, go,
              hand_op(&h, FLAT_SUB, down, hand_op(&h, FLAT_MUL, go, sum)));
    s = sets_explore(hand_slice(&h), NULL);
    assert_true(sets_reach(s)->reduced);
    sets_free(s);
    compare_run(hand_slice(&h), NULL);
    hand_release(&h);
}

/* (a * b + add) and x have the same rest. */
static void assume_rest(struct hand *h, const flat_expr input[3],
                        flat_expr add, int64_t modulus)
{
    flat_expr by = hand_const(h, modulus);
    flat_expr left = hand_op(h, FLAT_MUL, input[0], input[1]), same;

    left = hand_op(h, FLAT_MOD, hand_op(h, FLAT_ADD, left, add), by);
    same = hand_op(h, FLAT_EQ, left,
                   hand_op(h, FLAT_MOD, input[2], by));
    hand_assume(h, same, same);
}

/* For any a and b there is an x with such rests (remainders by numbers
 * without a common divisor, over all their products): no dead end, although
 * the assumptions together are large. */
static void large_assumptions_are_no_dead_end(void **state)
{
    struct hand h;
    flat_expr input[3];
    struct sets *s;

    (void)state;
    hand_init(&h);
    input[0] = hand_choice(&h, FLAT_OPERATOR, 256, 0);
    input[1] = hand_choice(&h, FLAT_OPERATOR, 256, 0);
    input[2] = hand_choice(&h, FLAT_OPERATOR, 13 * 15 * 17, 0);
    assume_rest(&h, input, input[0], 13);
    assume_rest(&h, input, input[1], 15);
    assume_rest(&h, input, hand_const(&h, 3), 17);
    s = sets_explore(hand_slice(&h), NULL);
    assert_int_equal(sets_reach(s)->end, EXPLORE_COMPLETE);
    assert_int_equal(sets_reach(s)->dead_end, FLAT_NONE);
    sets_free(s);
    hand_release(&h);
}

static jmp_buf failed;

static void note_failure(enum base_failure kind, const char *what,
                         const char *file, int line)
{
    (void)what, (void)file, (void)line;
    longjmp(failed, kind == BASE_INTERNAL_ERROR ? 1 : 2);
}

static void one_run_at_a_time(void **state)
{
    struct hand h;
    const struct slice *slice = counters(&h, 2);
    struct sets *s = sets_explore(slice, NULL);
    int refused;

    (void)state;
    base_on_failure(note_failure);
    refused = setjmp(failed);
    if (!refused)
        sets_explore(slice, NULL);
    base_on_failure(NULL);
    assert_int_equal(refused, 1);
    assert_string_equal(sets_reach(s)->count, "100");
    sets_free(s);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_on_random_slices),
        cmocka_unit_test(paths_hold_shortest_ways_only),
        cmocka_unit_test(counts_exactly),
        cmocka_unit_test(stops_at_most_situations),
        cmocka_unit_test(stops_at_most_bytes),
        cmocka_unit_test(can_be_interrupted),
        cmocka_unit_test(large_operations_are_left),
        cmocka_unit_test(moves_what_does_not_fit),
        cmocka_unit_test(large_assumptions_are_no_dead_end),
        cmocka_unit_test(one_run_at_a_time),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
