/* Random slices, explored with any number of tile bits and by the explorer
 * that keeps ways. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/tiles/tiles.h"
#include "tests/support/random_slice.h"
#include "tests/support/same_tiles.h"

enum { SLICES = 900, LATCH_SLICES = 600, MOST_CELLS = 9, MOST_ROWS = 6 };

static const uint32_t bits[] = {0, 1, 2, 5, TILES_MOST_BITS,
                                TILES_AUTOMATIC};

struct tally {
    uint32_t compared, deep, dead_ends, ends, reduced, in_bitmaps;
};

static void compare(const struct slice *s, struct explore_setting *setting,
                    struct tally *tally)
{
    struct exploration *x = explore(s, setting);

    for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
        struct tiles *t = tiles_explore(s, setting, bits[i]);

        same_tiles(s, tiles_reach(t), x);
        tally->in_bitmaps += tiles_effort(t).bits > 2;
        tiles_free(t);
    }
    tally->compared++;
    tally->deep += exploration_levels(x) > 3;
    tally->dead_ends += exploration_dead_end(x) != FLAT_NONE;
    tally->ends += s->n_ends > 0 && exploration_end_level(x, 0) > 1;
    tally->reduced += exploration_reduced(x) > 0;
    exploration_free(x);
}

/* Stopped for a watch: the level at which it was seen is the same. */
static void compare_stopped(const struct slice *s,
                            struct explore_setting setting)
{
    for (uint32_t w = 0; w < s->n_watches; w++) {
        bool *until = calloc(s->n_watches, sizeof *until);
        struct exploration *x;
        struct tiles *t;

        until[w] = true;
        setting.until = until;
        x = explore(s, &setting);
        t = tiles_explore(s, &setting, 2);
        assert_int_equal(tiles_reach(t)->end, exploration_end(x));
        assert_int_equal(tiles_reach(t)->watch_level[w],
                         exploration_watch_level(x, w));
        assert_int_equal(tiles_reach(t)->levels, exploration_levels(x));
        tiles_free(t);
        exploration_free(x);
        free(until);
    }
}

static void random_slices(void **state)
{
    struct tally tally = {0};

    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++) {
        struct explore_setting setting = {0};
        struct random_slice made;

        random_slice_make(&made, seed);
        if (seed % 3 == 0)
            random_slice_fix(&made, &setting);
        compare(hand_slice(&made.h), &setting, &tally);
        compare_stopped(hand_slice(&made.h), setting);
        setting.most_situations = 1 + seed % 17;
        compare(hand_slice(&made.h), &setting, &tally);
        hand_release(&made.h);
    }
    print_message("%u runs: %u deep, %u with dead ends, %u with late ends\n",
                  tally.compared, tally.deep, tally.dead_ends, tally.ends);
    assert_true(tally.compared >= 2 * SLICES);
    assert_true(tally.deep >= 100);
    assert_true(tally.dead_ends >= 20);
    assert_true(tally.ends >= 20);
}

/* ---- latches and debounced inputs ---- */

struct latches {
    struct random_slice m; /* its hand and its random numbers */
    flat_expr cell[MOST_CELLS], row[MOST_ROWS];
    uint32_t n_cells, n_rows;
};

static flat_expr leaf(struct latches *l, bool first)
{
    if (!first && random_pick(&l->m, 2))
        return l->cell[random_pick(&l->m, l->n_cells)];
    if (random_pick(&l->m, 5))
        return l->row[random_pick(&l->m, l->n_rows)];
    return hand_const(&l->m.h, random_pick(&l->m, 2));
}

static flat_expr formula(struct latches *l, bool first, unsigned depth)
{
    static const enum flat_op ops[] = {FLAT_AND, FLAT_OR, FLAT_AND, FLAT_OR,
                                       FLAT_XOR};
    flat_expr a, b;

    if (depth == 0)
        return leaf(l, first);
    a = formula(l, first, depth - 1);
    if (random_pick(&l->m, 5) == 0)
        return hand_op(&l->m.h, FLAT_NOT, a, FLAT_NONE);
    b = formula(l, first, depth - 1);
    if (random_pick(&l->m, 4) == 0)
        return hand_ite(&l->m.h, a, b, formula(l, first, depth - 1));
    return hand_op(&l->m.h, ops[random_pick(&l->m, 5)], a, b);
}

/* An edge latch, a held value, a counter that resets, or anything; some
 * do not fit their cell. */
static flat_expr next(struct latches *l, flat_expr cell)
{
    struct hand *h = &l->m.h;
    flat_expr one = hand_const(h, 1), when = formula(l, false, 2);

    switch (random_pick(&l->m, 6)) {
    case 0:
    case 1:
        return l->row[random_pick(&l->m, l->n_rows)];
    case 2:
        return hand_ite(h, when, cell, formula(l, false, 1));
    case 3:
        return hand_ite(h, when, hand_const(h, 0),
                        hand_op(h, FLAT_ADD, cell, one));
    default:
        return when;
    }
}

static void make_roots(struct latches *l)
{
    struct hand *h = &l->m.h;
    flat_expr first;

    for (uint32_t n = random_pick(&l->m, 3); n > 0; n--) {
        first = hand_op(h, FLAT_OR, formula(l, true, 1), leaf(l, true));
        hand_assume(h, first,
                    hand_op(h, FLAT_OR, formula(l, false, 2),
                            leaf(l, false)));
    }
    for (uint32_t n = random_pick(&l->m, 2); n > 0; n--) {
        first = hand_op(h, FLAT_AND, formula(l, true, 2), leaf(l, true));
        hand_end(h, first,
                 hand_op(h, FLAT_AND, formula(l, false, 2),
                         leaf(l, false)));
    }
    for (uint32_t n = 2; n > 0; n--) {
        first = formula(l, true, 2);
        hand_watch(h, first,
                   hand_op(h, FLAT_AND, formula(l, false, 2),
                           formula(l, false, 1)));
    }
}

static void make_latches(struct latches *l, uint64_t seed)
{
    static const enum flat_kind kinds[] = {
        FLAT_FAULT, FLAT_MACHINE, FLAT_OPERATOR, FLAT_OPERATOR, FLAT_INPUT,
        FLAT_SHARED};

    *l = (struct latches){.n_cells = 0};
    l->m.seed = seed * 104729 + 5;
    hand_init(&l->m.h);
    l->n_rows = 2 + random_pick(&l->m, MOST_ROWS - 1);
    for (uint32_t i = 0; i < l->n_rows; i++)
        l->row[i] =
            hand_choice(&l->m.h, kinds[random_pick(&l->m, 6)], 2, 0);
    l->n_cells = 3 + random_pick(&l->m, MOST_CELLS - 2);
    for (uint32_t i = 0; i < l->n_cells; i++)
        l->cell[i] = hand_cell(&l->m.h, 0, 1 + (random_pick(&l->m, 5) == 0),
                               1);
    for (uint32_t i = 0; i < l->n_cells; i++) {
        flat_expr first = formula(l, true, 1);

        hand_next(&l->m.h, l->cell[i], first, next(l, l->cell[i]));
    }
    make_roots(l);
}

static void latches_in_bitmaps(void **state)
{
    struct tally tally = {0};

    (void)state;
    for (uint64_t seed = 1; seed <= LATCH_SLICES; seed++) {
        struct explore_setting setting = {0};
        struct latches l;

        make_latches(&l, seed);
        compare(hand_slice(&l.m.h), &setting, &tally);
        compare_stopped(hand_slice(&l.m.h), setting);
        hand_release(&l.m.h);
    }
    print_message("%u runs: %u deep, %u with dead ends, %u with late ends, "
                  "%u with values that do not fit, %u with bitmaps\n",
                  tally.compared, tally.deep, tally.dead_ends, tally.ends,
                  tally.reduced, tally.in_bitmaps);
    assert_true(tally.deep >= 100);
    assert_true(tally.dead_ends >= 20);
    assert_true(tally.ends >= 20);
    assert_true(tally.reduced >= 20);
    assert_true(tally.in_bitmaps >= 500);
}

/* ---- limits ---- */

/* Counts through n values of one cell, and through as many of another, by
 * free choice. */
static void make_counters(struct hand *h, int64_t most)
{
    hand_init(h);
    for (unsigned i = 0; i < 3; i++) {
        flat_expr go = hand_choice(h, FLAT_INPUT, 2, 0);
        flat_expr cell = hand_cell(h, 0, most, 1);
        flat_expr sum = hand_op(h, FLAT_ADD, cell, go);

        hand_next(h, cell, hand_const(h, 0),
                  hand_op(h, FLAT_MOD, sum, hand_const(h, most + 1)));
    }
}

static void limit_of_bytes(void **state)
{
    struct explore_setting setting = {.most_bytes = 8 << 20};
    struct exploration *x;
    struct tiles *t;
    struct hand h;

    (void)state;
    make_counters(&h, 255); /* 16,777,216 situations */
    t = tiles_explore(hand_slice(&h), &setting, TILES_AUTOMATIC);
    x = explore(hand_slice(&h), &setting);
    assert_int_equal(tiles_reach(t)->end, EXPLORE_MEMORY);
    assert_true(tiles_reach(t)->bytes <= setting.most_bytes / 10 * 11);
    assert_true(tiles_reach(t)->situations > 100000);
    assert_true(tiles_reach(t)->levels > 10);
    for (uint32_t i = 0;
         i < tiles_reach(t)->levels && i < exploration_levels(x); i++)
        assert_int_equal(tiles_reach(t)->level_size[i],
                         exploration_level_size(x, i + 1));
    tiles_free(t);
    exploration_free(x);
    hand_release(&h);
}

static void tiny_limit_of_bytes(void **state)
{
    struct explore_setting setting = {.most_bytes = 1000};
    struct tiles *t;
    struct hand h;

    (void)state;
    make_counters(&h, 7);
    t = tiles_explore(hand_slice(&h), &setting, 0);
    assert_int_equal(tiles_reach(t)->end, EXPLORE_MEMORY);
    assert_int_equal(tiles_reach(t)->levels, 0);
    assert_string_equal(tiles_reach(t)->count, "0");
    tiles_free(t);
    hand_release(&h);
}

static bool at_once(void *unused)
{
    (void)unused;
    return true;
}

static void interrupted(void **state)
{
    struct explore_setting setting = {.interrupted = at_once};
    struct tiles *t;
    struct hand h;

    (void)state;
    make_counters(&h, 63);
    t = tiles_explore(hand_slice(&h), &setting, TILES_AUTOMATIC);
    assert_int_equal(tiles_reach(t)->end, EXPLORE_INTERRUPTED);
    assert_true(tiles_reach(t)->situations < 64 * 64 * 64);
    tiles_free(t);
    hand_release(&h);
}

struct told {
    uint32_t level;
    uint64_t situations;
};

static void note(void *context, uint32_t level, uint64_t situations)
{
    struct told *told = context;

    assert_int_equal(level, told->level + 1);
    assert_true(situations >= told->situations);
    *told = (struct told){level, situations};
}

static void progress_by_level(void **state)
{
    struct told told = {0, 0};
    struct explore_setting setting = {.progress = note,
                                      .progress_context = &told};
    struct tiles *t;
    struct hand h;

    (void)state;
    make_counters(&h, 15);
    t = tiles_explore(hand_slice(&h), &setting, TILES_AUTOMATIC);
    assert_int_equal(told.situations, 16 * 16 * 16);
    assert_int_equal(told.level, tiles_reach(t)->levels + 1);
    assert_int_equal(tiles_reach(t)->levels, 16);
    tiles_free(t);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_slices),
        cmocka_unit_test(latches_in_bitmaps),
        cmocka_unit_test(limit_of_bytes),
        cmocka_unit_test(tiny_limit_of_bytes),
        cmocka_unit_test(interrupted),
        cmocka_unit_test(progress_by_level),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
