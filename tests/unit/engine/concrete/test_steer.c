/* Places to which hands lead against the same found from the edges between
 * all situations of random slices. */
#include "engine/concrete/steer.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/edges.h"
#include "tests/support/random_slice.h"

enum { SLICES = 300, LEADS = 6, MOST_SITUATIONS = 300 };

/* Places side by side. */
struct walk {
    struct arena *arena;
    const struct slice *slice;
    struct exploration *x;
    struct steer *steer;
    uint64_t n;      /* situations */
    bool *follows;   /* n * n: a scan leads from one to the other */
    uint32_t place;
    bool *stands;    /* the same, by situation */
    unsigned n_full, n_empty;
};

static bool take(void *context, const struct edge *edge)
{
    struct walk *w = context;

    if (edge->from != UINT64_MAX && edge->to != UINT64_MAX)
        w->follows[edge->from * w->n + edge->to] = true;
    return true;
}

static bool agrees(const struct walk *w, uint64_t situation,
                   const struct steer_at *at, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if (at[i].cell != FLAT_NONE &&
            exploration_value(w->x, situation, at[i].cell) != at[i].value)
            return false;
    return true;
}

/* One scan. */
static void advance(const struct walk *w, bool *now,
                    const struct steer_scans *scans)
{
    bool *next = arena_array(w->arena, w->n, sizeof *next);

    for (uint64_t a = 0; a < w->n; a++)
        for (uint64_t b = 0; now[a] && b < w->n; b++)
            next[b] = next[b] ||
                      (w->follows[a * w->n + b] &&
                       agrees(w, b, scans->held, scans->n_held));
    memcpy(now, next, w->n * sizeof *now);
}

/* Any number of scans is so many that nothing can be added by more. */
static void scans_by_hand(struct walk *w, const struct steer_scans *scans)
{
    uint64_t most = scans->most == UINT64_MAX ? scans->least + w->n
                                              : scans->most;
    bool *now = arena_array(w->arena, w->n, sizeof *now);
    bool *all = arena_array(w->arena, w->n, sizeof *all);

    memcpy(now, w->stands, w->n * sizeof *now);
    for (uint64_t scan = 0; scan <= most; scan++) {
        if (scan > 0)
            advance(w, now, scans);
        for (uint64_t s = 0; scan >= scans->least && s < w->n; s++)
            all[s] = all[s] || now[s];
    }
    memcpy(w->stands, all, w->n * sizeof *all);
}

static void keep_by_hand(struct walk *w, const struct steer_at *at)
{
    for (uint64_t s = 0; s < w->n; s++)
        w->stands[s] = w->stands[s] && agrees(w, s, at, 1);
}

/* Has each cell one value in both, or in neither? */
static void compare(struct walk *w)
{
    bool any = false;

    for (uint64_t s = 0; s < w->n; s++)
        any = any || w->stands[s];
    assert_int_equal(steer_is_empty(w->steer, w->place), !any);
    w->n_full += any;
    w->n_empty += !any;
    for (uint32_t c = 0; any && c < w->slice->n_cells; c++) {
        bool known = false, sure = true;
        int64_t value = 0, found;

        for (uint64_t s = 0; s < w->n; s++) {
            int64_t here = exploration_value(w->x, s, c);

            if (!w->stands[s])
                continue;
            sure = sure && (!known || here == value);
            value = here;
            known = true;
        }
        assert_int_equal(steer_sure(w->steer, w->place, c, &found), sure);
        if (sure)
            assert_int_equal(found, value);
    }
}

/* One cell is seen with a value it can have. */
static struct steer_at see(struct walk *w, struct random_slice *chance)
{
    const struct slice_cell *of;
    struct steer_at at = {FLAT_NONE, 0};

    if (w->slice->n_cells == 0 || random_pick(chance, 3) == 0)
        return at;
    at.cell = random_pick(chance, w->slice->n_cells);
    of = &w->slice->cells[at.cell];
    at.value = of->low +
               random_pick(chance, (uint32_t)(of->high - of->low) + 1);
    return at;
}

static void lead(struct walk *w, struct random_slice *chance, uint32_t grip)
{
    struct steer_at at = see(w, chance);
    struct steer_scans scans = {.least = random_pick(chance, 4),
                                .grip = grip, .avoid = FLAT_NONE,
                                .held = &at,
                                .n_held = random_pick(chance, 2)};

    if (random_pick(chance, 4) == 0) {
        w->place = steer_keep(w->steer, w->place, at);
        keep_by_hand(w, &at);
        return;
    }
    scans.most = random_pick(chance, 2) ? UINT64_MAX
                                        : scans.least + random_pick(chance, 4);
    w->place = steer_scans(w->steer, w->place, &scans);
    scans_by_hand(w, &scans);
}

/* A grip that holds nothing. */
static uint32_t no_grip(struct arena *arena, struct steer *steer,
                        const struct slice *slice)
{
    uint32_t *fixed = arena_array(arena, slice->n_choices + 1, sizeof *fixed);

    for (uint32_t i = 0; i < slice->n_choices; i++)
        fixed[i] = FLAT_NONE;
    return steer_grip(steer, fixed);
}

static void try_slice(uint64_t seed, unsigned *full, unsigned *empty)
{
    static const struct explore_setting setting = {0};
    struct random_slice chance;
    struct walk w = {.arena = arena_new()};

    random_slice_make(&chance, seed);
    w.slice = hand_slice(&chance.h);
    w.x = explore(w.slice, NULL);
    w.n = exploration_situations(w.x);
    if (w.n > 0 && w.n <= MOST_SITUATIONS) {
        uint32_t grip;

        w.follows = arena_array(w.arena, w.n * w.n, sizeof *w.follows);
        w.stands = arena_array(w.arena, w.n, sizeof *w.stands);
        memset(w.stands, true, w.n * sizeof *w.stands);
        edges_all(w.x, take, &w);
        w.steer = steer_open(w.slice, &setting, NULL, 0);
        w.place = steer_reached(w.steer, MOST_SITUATIONS);
        grip = no_grip(w.arena, w.steer, w.slice);
        for (unsigned i = 0; i < LEADS; i++) {
            compare(&w);
            lead(&w, &chance, grip);
        }
        assert_int_equal(steer_end(w.steer), EXPLORE_COMPLETE);
        steer_close(w.steer);
    }
    *full += w.n_full;
    *empty += w.n_empty;
    exploration_free(w.x);
    hand_release(&chance.h);
    arena_free(w.arena);
}

static void agrees_with_every_situation(void **state)
{
    unsigned full = 0, empty = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++)
        try_slice(seed, &full, &empty);
    print_message("%u places, %u empty\n", full, empty);
    assert_true(full > SLICES);
    assert_true(empty > SLICES / 10);
}

/* A light that comes on one scan after the button, a shaft that may turn while
 * it is on and stays turned, and a bell that rings by itself. */
struct bench {
    struct hand h;
    struct steer *steer;
    uint32_t marks[2]; /* light, bell */
    uint32_t pressed, free; /* grips */
};

enum { LIGHT, SHAFT }; /* cells */

static void make_bench(struct bench *b)
{
    static const struct explore_setting setting = {0};
    flat_expr button, turns, rings, light, shaft, zero;
    uint32_t fixed[] = {1, FLAT_NONE, FLAT_NONE};

    hand_init(&b->h);
    button = hand_choice(&b->h, FLAT_OPERATOR, 2, 0);
    turns = hand_choice(&b->h, FLAT_MACHINE, 2, 0);
    rings = hand_choice(&b->h, FLAT_MACHINE, 2, 0);
    light = hand_cell(&b->h, 0, 1, 1);
    shaft = hand_cell(&b->h, 0, 1, 1);
    zero = hand_const(&b->h, 0);
    hand_next(&b->h, light, zero, button);
    hand_next(&b->h, shaft, zero,
              hand_op(&b->h, FLAT_OR, shaft,
                      hand_op(&b->h, FLAT_AND, light, turns)));
    b->marks[0] = hand_value(&b->h, zero, light);
    b->marks[1] = hand_value(&b->h, zero, rings);
    b->steer = steer_open(hand_slice(&b->h), &setting, b->marks, 2);
    b->pressed = steer_grip(b->steer, fixed);
    fixed[0] = FLAT_NONE;
    b->free = steer_grip(b->steer, fixed);
}

static void release_bench(struct bench *b)
{
    steer_close(b->steer);
    hand_release(&b->h);
}

/* Held long enough it has been on for sure; the bell never for sure. */
static void what_happens_for_sure(void **state)
{
    struct bench b;
    bool happened[2] = {false, false};
    struct steer_scans scans = {.least = 1, .most = UINT64_MAX,
                                .avoid = FLAT_NONE, .happened = happened};
    uint32_t place, all;

    (void)state;
    make_bench(&b);
    scans.grip = b.pressed;
    all = steer_reached(b.steer, 100);
    assert_true(steer_is_empty(b.steer, steer_reached(b.steer, 1)));
    place = steer_scans(b.steer, all, &scans);
    assert_false(happened[0]);
    scans.least = 2;
    assert_int_equal(steer_scans(b.steer, all, &scans), place);
    assert_true(happened[0]);
    assert_false(happened[1]);
    assert_int_equal(steer_join(b.steer, place, steer_nowhere(b.steer)),
                     place);
    scans.avoid = 0;
    assert_true(steer_is_empty(b.steer,
                               steer_scans(b.steer, place, &scans)));
    scans.avoid = 1;
    assert_int_equal(steer_scans(b.steer, place, &scans), place);
    release_bench(&b);
}

/* With the button pressed the shaft is driven to where it turns, and nowhere
 * else; otherwise nobody can count on it. */
static void what_is_driven(void **state)
{
    struct bench b;
    bool to[2] = {false, false};
    struct steer_scans scans = {.least = 2, .avoid = FLAT_NONE};
    uint32_t first;

    (void)state;
    make_bench(&b);
    first = steer_first(b.steer, (const uint32_t[]){FLAT_NONE, FLAT_NONE,
                                                    FLAT_NONE});
    scans.grip = b.pressed;
    steer_driven(b.steer, first, &scans, SHAFT, to);
    assert_false(to[0]);
    assert_true(to[1]);
    to[1] = false;
    scans.grip = b.free;
    steer_driven(b.steer, first, &scans, SHAFT, to);
    assert_false(to[0] || to[1]);
    release_bench(&b);
}

/* Any value in one cell, the other as it is. */
static void widened(void **state)
{
    struct bench b;
    const bool any[] = {false, true};
    uint32_t first, wide;
    int64_t value;

    (void)state;
    make_bench(&b);
    first = steer_first(b.steer, (const uint32_t[]){FLAT_NONE, FLAT_NONE,
                                                    FLAT_NONE});
    assert_true(steer_sure(b.steer, first, SHAFT, &value));
    wide = steer_widen(b.steer, first, any, 2);
    assert_false(steer_sure(b.steer, wide, SHAFT, &value));
    assert_true(steer_sure(b.steer, wide, LIGHT, &value));
    assert_int_equal(steer_keep(b.steer, wide,
                                (struct steer_at){SHAFT, 0}), first);
    assert_true(steer_is_empty(b.steer,
                               steer_widen(b.steer, first, any, 1)));
    release_bench(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_every_situation),
        cmocka_unit_test(what_happens_for_sure),
        cmocka_unit_test(what_is_driven),
        cmocka_unit_test(widened),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
