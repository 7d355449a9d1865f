/* What can always be brought about, found in sets, against its definition
 * (docs/notes/step.md, section 8) played value by value on random slices
 * whose choices are dealt out at random; and the way to where it cannot,
 * against the one found by walking over everything. */
#include "engine/sets/regain.h"

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

enum { SLICES = 600, DEALS = 4, MOST_SITUATIONS = 400 };

/* What one full choice of a scan comes to; else a situation. */
enum { NONE = -1, FAILS = -2, LEAVES = -3, FOUND = -4 };

struct game {
    struct arena *arena;
    const struct slice *slice;
    struct exploration *x;
    struct regain_asked asked;
    enum regain_side side[RANDOM_MOST_ROWS];
    uint32_t plays[3];     /* combinations of the choices of each side */
    uint32_t n_plays;
    int64_t *outcome;      /* per situation: ours * others * shared of them */
    int64_t *now;          /* those of the situation at hand */
    bool *can;
    bool lost;             /* it is asked where it cannot be */
    uint32_t level;        /* scans of the shortest way there */
    uint32_t *first;       /* the first scan that fails, where it is asked of
                              those alone */
};

/* The value of a row in a play, which is numbered in mixed radix: shared
 * ones lowest. */
static uint32_t dealt(const struct game *g, uint32_t play, uint32_t row)
{
    uint32_t part[3];

    part[REGAIN_SHARED] = play % g->plays[REGAIN_SHARED];
    play /= g->plays[REGAIN_SHARED];
    part[REGAIN_OTHERS] = play % g->plays[REGAIN_OTHERS];
    part[REGAIN_OURS] = play / g->plays[REGAIN_OTHERS];
    for (uint32_t i = 0; i < row; i++)
        if (g->side[i] == g->side[row])
            part[g->side[row]] /= g->slice->choices[i].count;
    return part[g->side[row]] % g->slice->choices[row].count;
}

static bool is_play(const struct game *g, const struct edge *edge,
                    uint32_t play)
{
    for (uint32_t i = 0; i < g->slice->n_choices; i++)
        if (edge->choice[i] != FLAT_NONE &&
            edge->choice[i] != dealt(g, play, i))
            return false;
    return true;
}

static int64_t comes_to(const struct game *g, const struct edge *edge)
{
    if (edge->to == UINT64_MAX)
        return FAILS;
    if (edge->watch[g->asked.goal])
        return FOUND;
    if (g->asked.asked != FLAT_NONE && !edge->watch[g->asked.asked])
        return LEAVES;
    return (int64_t)edge->to;
}

static bool take(void *context, const struct edge *edge)
{
    struct game *g = context;

    for (uint32_t p = 0; p < g->n_plays; p++)
        if (is_play(g, edge, p))
            g->now[p] = comes_to(g, edge);
    return true;
}

static void deal(struct game *g, struct random_slice *chance)
{
    g->n_plays = 1;
    for (uint32_t who = 0; who < 3; who++)
        g->plays[who] = 1;
    for (uint32_t i = 0; i < g->slice->n_choices; i++) {
        g->side[i] = random_pick(chance, 3);
        g->plays[g->side[i]] *= g->slice->choices[i].count;
        g->n_plays *= g->slice->choices[i].count;
    }
}

static void play_all(struct game *g)
{
    uint64_t n = exploration_situations(g->x);
    uint32_t *given = arena_array(g->arena, g->slice->n_choices + 1,
                                  sizeof *given);

    for (uint32_t i = 0; i < g->slice->n_choices; i++)
        given[i] = FLAT_NONE;
    g->outcome = arena_array(g->arena, n * g->n_plays + 1,
                             sizeof *g->outcome);
    for (uint64_t s = 0; s < n; s++) {
        g->now = g->outcome + s * g->n_plays;
        for (uint32_t p = 0; p < g->n_plays; p++)
            g->now[p] = NONE;
        edges_given(g->x, s, g->asked.fixed ? g->asked.fixed : given, take,
                    g);
    }
}

/* 1 good for us, 0 nothing is asked or there is no such scan, -1 bad. */
static int settle(const struct game *g, const int64_t *at)
{
    uint32_t scans = 0, left = 0, good = 0;

    for (uint32_t k = 0; k < g->plays[REGAIN_SHARED]; k++) {
        scans += at[k] != NONE;
        left += at[k] == LEAVES;
        good += at[k] == FOUND || (at[k] >= 0 && g->can[at[k]]);
    }
    return left == scans ? 0 : good == scans ? 1 : -1;
}

static bool wins(const struct game *g, const int64_t *at)
{
    bool some = false;

    for (uint32_t o = 0; o < g->plays[REGAIN_OTHERS]; o++) {
        int how = settle(g, at + (size_t)o * g->plays[REGAIN_SHARED]);

        if (how < 0)
            return false;
        some |= how > 0;
    }
    return some;
}

static bool can_from(const struct game *g, uint64_t s)
{
    size_t each = (size_t)g->plays[REGAIN_OTHERS] * g->plays[REGAIN_SHARED];

    for (uint32_t m = 0; m < g->plays[REGAIN_OURS]; m++)
        if (wins(g, g->outcome + s * g->n_plays + m * each))
            return true;
    return false;
}

static void solve(struct game *g)
{
    uint64_t n = exploration_situations(g->x);
    bool added = true;

    g->can = arena_array(g->arena, n + 1, sizeof *g->can);
    while (added) {
        added = false;
        for (uint64_t s = 0; s < n; s++)
            if (!g->can[s] && can_from(g, s))
                g->can[s] = added = true;
    }
}

/* Level at which the scan after a situation is judged. */
static uint32_t level_after(const struct game *g, uint64_t from)
{
    uint32_t level = 1;

    for (uint64_t before = 0; from != UINT64_MAX; level++) {
        before += exploration_level_size(g->x, level);
        if (from < before)
            return level + 1;
    }
    return 1;
}

static void note_first(struct game *g, const struct edge *edge)
{
    if (g->first)
        return;
    g->first = arena_array(g->arena, g->slice->n_choices + 1,
                           sizeof *g->first);
    for (uint32_t i = 0; i < g->slice->n_choices; i++)
        g->first[i] = edge->choice[i] != FLAT_NONE
                          ? edge->choice[i] : g->slice->choices[i].rest;
}

static bool look(void *context, const struct edge *edge)
{
    struct game *g = context;
    bool lost;

    if (edge->to == UINT64_MAX || g->can[edge->to])
        return true;
    lost = g->asked.asked != FLAT_NONE
               ? edge->watch[g->asked.asked]
               : edge->from == UINT64_MAX && !edge->watch[g->asked.goal];
    if (!lost)
        return true;
    if (!g->lost || level_after(g, edge->from) < g->level)
        g->level = level_after(g, edge->from);
    g->lost = true;
    note_first(g, edge);
    return true;
}

/* The way as found by walking over everything. */
static bool is_the_way(struct game *g, const struct sequence *astray)
{
    uint64_t n = exploration_situations(g->x);
    bool *trap = arena_array(g->arena, n + 1, sizeof *trap);

    if (!g->lost || !astray)
        return !g->lost && !astray;
    if (g->asked.asked == FLAT_NONE)
        return astray->length == 1 &&
               memcmp(astray->choices, g->first,
                      g->slice->n_choices * sizeof *g->first) == 0;
    for (uint64_t s = 0; s < n; s++)
        trap[s] = !g->can[s];
    return sequence_same(sequence_into(g->arena, g->x, g->asked.asked, trap,
                                       g->level),
                         astray);
}

static bool compare(struct game *g, uint32_t n_answers[2])
{
    struct sets *s = sets_explore(g->slice, NULL);
    struct regain_found found = sets_regain_way(g->arena, s, &g->asked);

    play_all(g);
    solve(g);
    g->lost = false;
    edges_all(g->x, look, g);
    sets_free(s);
    n_answers[g->lost]++;
    return found.regain == (g->lost ? REGAIN_NOT : REGAIN_ALWAYS) &&
           is_the_way(g, found.astray);
}

/* Choices dealt out, and what is asked, at random. */
static void try_deal(struct random_slice *chance, struct exploration *x,
                     uint32_t n_answers[2])
{
    struct game g = {.arena = arena_new(), .slice = &chance->h.slice, .x = x};
    uint32_t goal = random_pick(chance, 3);

    deal(&g, chance);
    g.asked = (struct regain_asked){
        .goal = goal,
        .asked = (goal + 1 + random_pick(chance, 2)) % 3,
        .side = g.side};
    if (random_pick(chance, 4) == 0)
        g.asked.asked = FLAT_NONE;
    if (!compare(&g, n_answers))
        fail_msg("seed %llu differs", (unsigned long long)chance->seed);
    arena_free(g.arena);
}

static void try_slice(uint64_t seed, uint32_t n_answers[2])
{
    struct random_slice chance;
    struct exploration *x;

    random_slice_make(&chance, seed);
    x = explore(hand_slice(&chance.h), NULL);
    for (uint32_t i = 0; i < DEALS; i++)
        if (exploration_situations(x) <= MOST_SITUATIONS)
            try_deal(&chance, x, n_answers);
    exploration_free(x);
    hand_release(&chance.h);
}

static void agrees_with_the_definition(void **state)
{
    uint32_t n_answers[2] = {0};

    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++)
        try_slice(seed, n_answers);
    print_message("always %u, not %u\n", n_answers[0], n_answers[1]);
    assert_true(n_answers[0] > SLICES / 12);
    assert_true(n_answers[1] > SLICES / 12);
}

/* We can go on asking, or leave it to another choice whether the goal is
 * there or nothing is asked any more.  That is no way if the other choice is
 * shared: it must not decide that; and a way if somebody else's. */
static void who_decides_the_end(void **state)
{
    enum regain_side side[] = {REGAIN_OURS, REGAIN_SHARED};
    struct regain_asked asked = {.goal = 0, .asked = 1, .side = side};
    struct hand h;
    flat_expr ours, other, cell;
    struct sets *s;

    (void)state;
    hand_init(&h);
    ours = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    other = hand_choice(&h, FLAT_OPERATOR, 2, 0);
    cell = hand_cell(&h, 0, 1, 1);
    hand_next(&h, cell, hand_const(&h, 0), ours);
    other = hand_op(&h, FLAT_AND, other,
                    hand_op(&h, FLAT_NOT, ours, FLAT_NONE));
    hand_watch(&h, other, other);
    hand_watch(&h, ours, ours);
    s = sets_explore(hand_slice(&h), NULL);
    assert_int_equal(sets_regain(s, &asked), REGAIN_NOT);
    side[1] = REGAIN_OTHERS;
    assert_int_equal(sets_regain(s, &asked), REGAIN_ALWAYS);
    side[1] = REGAIN_OURS;
    assert_int_equal(sets_regain(s, &asked), REGAIN_ALWAYS);
    sets_free(s);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_definition),
        cmocka_unit_test(who_decides_the_end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
