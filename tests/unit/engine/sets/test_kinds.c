/* Both kinds of schemes over long counters, against the engine that stores
 * situation by situation; and that the choice between them is made both
 * ways. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/counted.h"
#include "engine/sets/levels.h"
#include "engine/sets/sets.h"
#include "engine/sets/shortest.h"
#include "tests/support/random_slice.h"
#include "tests/support/same_reach.h"

enum { SLICES = 60, MOST_TIMERS = 3, INPUTS = 3, MOST_SITUATIONS = 60000 };

/* Counters that grow while something holds, and else begin anew. */
struct timers {
    struct hand h;
    struct random_slice chance; /* for its numbers only */
    flat_expr input[INPUTS], timer[MOST_TIMERS];
    uint32_t most[MOST_TIMERS], n;
};

static flat_expr random_input(struct timers *t)
{
    flat_expr input = t->input[random_pick(&t->chance, INPUTS)];

    return random_pick(&t->chance, 2)
               ? input : hand_op(&t->h, FLAT_NOT, input, FLAT_NONE);
}

static flat_expr random_go(struct timers *t, uint32_t i)
{
    flat_expr go = random_input(t);
    uint32_t other = random_pick(&t->chance, t->n);

    if (other == i || random_pick(&t->chance, 3) == 0)
        return go;
    return hand_op(&t->h, random_pick(&t->chance, 2) ? FLAT_AND : FLAT_OR, go,
                   hand_op(&t->h, FLAT_LT, t->timer[other],
                           hand_const(&t->h, random_pick(
                                                 &t->chance,
                                                 t->most[other] + 1))));
}

static flat_expr random_next(struct timers *t, uint32_t i)
{
    struct hand *h = &t->h;
    flat_expr most = hand_const(h, t->most[i]), more, kept;

    more = hand_op(h, FLAT_ADD, t->timer[i], hand_const(h, 1));
    kept = random_pick(&t->chance, 4) ? hand_const(h, 0) : t->timer[i];
    more = hand_ite(h, hand_op(h, FLAT_LT, t->timer[i], most), more, most);
    return hand_ite(h, random_go(t, i), more, kept);
}

static const struct slice *timers_make(struct timers *t, uint64_t seed)
{
    struct hand *h = &t->h;
    flat_expr zero, seen;

    t->chance.seed = seed;
    hand_init(h);
    t->n = 2 + random_pick(&t->chance, MOST_TIMERS - 1);
    for (uint32_t i = 0; i < INPUTS; i++)
        t->input[i] = hand_choice(h, FLAT_OPERATOR, 2, 0);
    for (uint32_t i = 0; i < t->n; i++) {
        t->most[i] = 20 + random_pick(&t->chance, t->n > 2 ? 60 : 220);
        t->timer[i] = hand_cell(h, 0, t->most[i], 1);
    }
    zero = hand_const(h, 0);
    for (uint32_t i = 0; i < t->n; i++)
        hand_next(h, t->timer[i], zero, random_next(t, i));
    seen = hand_op(h, FLAT_EQ, t->timer[0], hand_const(h, t->most[0]));
    hand_watch(h, zero, hand_op(h, FLAT_AND, seen, random_input(t)));
    return hand_slice(h);
}

static void compare(const struct slice *slice, struct exploration *x,
                    struct sets *s)
{
    struct arena *arena = arena_new();
    enum explore_end end;

    same_reach(slice, exploration_reach(arena, x), sets_reach(s));
    same_sequences(sequence_find(arena, x, GOAL_WATCH, 0),
                   sets_sequence(arena, s, GOAL_WATCH, 0, &end));
    sets_free(s);
    arena_free(arena);
}

static struct sets *of_kind(const struct slice *slice, enum scheme_kind kind)
{
    struct sets *s = levels_begin(slice, NULL, kind);

    while (levels_go_on(s, (uint32_t)s->levels.n + 1, UINT64_MAX))
        continue;
    levels_end(s);
    return s;
}

static void kinds_agree(void **state)
{
    const struct explore_setting few = {.most_situations = MOST_SITUATIONS};
    uint32_t compared = 0, level = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++) {
        struct timers t = {0};
        const struct slice *slice = timers_make(&t, seed);
        struct exploration *x = explore(slice, &few);
        struct sets *s;

        if (exploration_end(x) == EXPLORE_COMPLETE) {
            compare(slice, x, of_kind(slice, SCHEME_APART));
            compare(slice, x, of_kind(slice, SCHEME_LEVEL));
            s = sets_explore(slice, NULL);
            level += s->kind == SCHEME_LEVEL;
            compare(slice, x, s);
            compared++;
        }
        exploration_free(x);
        hand_release(&t.h);
    }
    assert_true(compared >= SLICES / 2);
    assert_true(level > 0);
}

/* Counters that jump about, each by its own input: what one reaches is
 * irregular, and tells nothing of the others. */
static void apart_where_it_costs_less(void **state)
{
    struct hand h;
    const struct slice *slice;
    struct exploration *x;
    struct sets *s;
    flat_expr zero;

    (void)state;
    hand_init(&h);
    zero = hand_const(&h, 0);
    for (uint32_t i = 0; i < 3; i++) {
        flat_expr input = hand_choice(&h, FLAT_OPERATOR, 2, 0);
        flat_expr cell = hand_cell(&h, 0, 60, 1), to;

        to = hand_op(&h, FLAT_MUL, cell, hand_const(&h, 7));
        to = hand_op(&h, FLAT_ADD, to, hand_const(&h, 3));
        to = hand_op(&h, FLAT_MOD, to, hand_const(&h, 61));
        hand_next(&h, cell, zero, hand_ite(&h, input, to, cell));
    }
    hand_watch(&h, zero, zero);
    slice = hand_slice(&h);
    x = explore(slice, NULL);
    compare(slice, x, of_kind(slice, SCHEME_LEVEL));
    s = sets_explore(slice, NULL);
    assert_int_equal(s->kind, SCHEME_APART);
    compare(slice, x, s);
    exploration_free(x);
    hand_release(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kinds_agree),
        cmocka_unit_test(apart_where_it_costs_less),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
