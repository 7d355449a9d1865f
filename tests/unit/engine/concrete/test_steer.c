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

/* A lamp that follows a button one scan later, a shaft that may turn while it
 * is lit and stays turned, and a bell that rings by itself. */
struct lamp {
    struct hand h;
    uint32_t button; /* row */
    flat_expr lit, turned;
    const struct slice *slice;
    uint32_t marks[2];
};

static void make_lamp(struct lamp *l)
{
    flat_expr button, turns, rings, values[2];
    struct slice_request request = {.values = values, .n_values = 2};

    hand_init(&l->h);
    button = hand_choice(&l->h, FLAT_OPERATOR, 2, 0);
    turns = hand_choice(&l->h, FLAT_MACHINE, 2, 0);
    rings = hand_choice(&l->h, FLAT_MACHINE, 2, 0);
    l->lit = hand_cell(&l->h, 0, 1, 1);
    l->turned = hand_cell(&l->h, 0, 1, 1);
    hand_next(&l->h, l->lit, hand_const(&l->h, 0), button);
    hand_next(&l->h, l->turned, hand_const(&l->h, 0),
              flat_or(l->h.b, l->turned, flat_and(l->h.b, l->lit, turns)));
    values[0] = l->lit;
    values[1] = rings;
    (void)request;
}

