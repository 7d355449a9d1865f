/* Places to which hands lead, found in sets, against the same found
 * situation by situation on random slices. */
#include "engine/sets/steer.h"

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
                   const struct observed *seen)
{
    for (uint32_t i = 0; i < seen->n; i++)
        if (seen->given[i] && exploration_value(w->x, situation,
                                                seen->cell[i]) !=
                                  seen->value[i])
            return false;
    return true;
}

/* One scan. */
static void advance(const struct walk *w, bool *now,
                    const struct observed *held)
{
    bool *next = arena_array(w->arena, w->n, sizeof *next);

    for (uint64_t a = 0; a < w->n; a++)
        for (uint64_t b = 0; now[a] && b < w->n; b++)
            next[b] = next[b] ||
                      (w->follows[a * w->n + b] && agrees(w, b, held));
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
            advance(w, now, scans->held);
        for (uint64_t s = 0; scan >= scans->least && s < w->n; s++)
            all[s] = all[s] || now[s];
    }
    memcpy(w->stands, all, w->n * sizeof *all);
}

static void keep_by_hand(struct walk *w, const struct observed *seen)
{
    for (uint64_t s = 0; s < w->n; s++)
        w->stands[s] = w->stands[s] && agrees(w, s, seen);
}

/* Is each value of each cell possible in both, or in neither? */
static void compare(struct walk *w)
{
    bool any = false;

    for (uint64_t s = 0; s < w->n; s++)
        any = any || w->stands[s];
    assert_int_equal(steer_is_empty(w->steer, w->place), !any);
    w->n_full += any;
    w->n_empty += !any;
    for (uint32_t c = 0; c < w->slice->n_cells; c++)
        for (int64_t value = w->slice->cells[c].low;
             value <= w->slice->cells[c].high; value++) {
            bool can = false;

            for (uint64_t s = 0; s < w->n; s++)
                can = can || (w->stands[s] &&
                              exploration_value(w->x, s, c) == value);
            assert_int_equal(steer_can(w->steer, w->place, c, value), can);
        }
}

/* One cell is seen with a value it can have. */
static struct observed see(struct walk *w, struct random_slice *chance)
{
    uint32_t n = w->slice->n_cells > 0, *cell;
    int64_t *value = arena_array(w->arena, 1, sizeof *value);
    bool *given = arena_array(w->arena, 1, sizeof *given);

    cell = arena_array(w->arena, 1, sizeof *cell);
    if (n > 0) {
        const struct slice_cell *of;

        *cell = random_pick(chance, w->slice->n_cells);
        of = &w->slice->cells[*cell];
        *value = of->low +
                 random_pick(chance, (uint32_t)(of->high - of->low) + 1);
        *given = random_pick(chance, 3) > 0;
    }
    return (struct observed){n, cell, value, value, given};
}

static void lead(struct walk *w, struct random_slice *chance)
{
    struct observed seen = see(w, chance), all = {0};
    struct steer_scans scans = {.least = random_pick(chance, 4),
                                .held = random_pick(chance, 2) ? &seen
                                                               : &all};

    if (random_pick(chance, 4) == 0) {
        w->place = steer_keep(w->steer, w->place, &seen);
        keep_by_hand(w, &seen);
        return;
    }
    scans.most = random_pick(chance, 2) ? UINT64_MAX
                                        : scans.least + random_pick(chance, 4);
    w->place = steer_scans(w->steer, w->place, &scans);
    scans_by_hand(w, &scans);
}

static void try_slice(uint64_t seed, unsigned *full, unsigned *empty)
{
    struct random_slice chance;
    struct walk w = {.arena = arena_new()};

    random_slice_make(&chance, seed);
    w.slice = hand_slice(&chance.h);
    w.x = explore(w.slice, NULL);
    w.n = exploration_situations(w.x);
    if (w.n > 0 && w.n <= MOST_SITUATIONS) {
        w.follows = arena_array(w.arena, w.n * w.n, sizeof *w.follows);
        w.stands = arena_array(w.arena, w.n, sizeof *w.stands);
        memset(w.stands, true, w.n * sizeof *w.stands);
        edges_all(w.x, take, &w);
        w.steer = steer_open(w.slice, NULL, NULL, 0);
        for (unsigned i = 0; i < LEADS; i++) {
            compare(&w);
            lead(&w, &chance);
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

/* A light that comes on one scan after the button, whatever else: held long
 * enough it has been on for sure; the choice beside it never for sure. */
static void what_happens_for_sure(void **state)
{
    struct hand h;
    flat_expr button, other, kept, light, chance;
    struct steer *steer;
    uint32_t passing[2], place;
    bool happened[2] = {false, false}, given[] = {true};
    uint32_t cell[1];
    int64_t value[] = {1};
    struct observed held = {1, cell, value, value, given};
    struct steer_scans scans = {1, UINT64_MAX, &held, happened};
    const struct slice *slice;

    (void)state;
    hand_init(&h);
    button = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    other = hand_choice(&h, FLAT_MACHINE, 2, 0);
    kept = hand_cell(&h, 0, 1, 1);
    light = hand_cell(&h, 0, 1, 1);
    chance = hand_cell(&h, 0, 1, 1);
    hand_next(&h, kept, button, button);
    hand_next(&h, light, hand_const(&h, 0), kept);
    hand_next(&h, chance, hand_const(&h, 0), other);
    slice = hand_slice(&h);
    assert_int_equal(slice->n_cells, 3);
    cell[0] = 0;
    passing[0] = 1;
    passing[1] = 2;
    steer = steer_open(slice, NULL, passing, 2);
    place = steer_scans(steer, STEER_REACHED, &scans);
    assert_false(happened[0]);
    assert_true(steer_can(steer, place, 1, 0)); /* forgotten */
    scans.least = 2;
    assert_int_equal(steer_scans(steer, STEER_REACHED, &scans), place);
    assert_true(happened[0]);
    assert_false(happened[1]);
    assert_int_equal(steer_join(steer, place, steer_nowhere(steer)), place);
    steer_close(steer);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_every_situation),
        cmocka_unit_test(what_happens_for_sure),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
