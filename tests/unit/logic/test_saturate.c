/* Counters that stand where nobody looks any further: what is seen, and
 * when, is the same with and without, and the same as by a plain walk. */
#include "logic/saturate.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "engine/engines.h"
#include "engine/sequence.h"
#include "tests/support/random_counter.h"

enum { SEEDS = 2500 };

static const bool all[3] = {true, true, true};

static struct engines_found look(struct arena *arena,
                                 const struct slice *slice)
{
    const struct explore_setting setting = {0};
    struct engines_found found =
        engines_find(arena, slice, &setting, ENGINE_BOTH);

    if (found.differ != NULL)
        fail_msg("%s", found.differ);
    return found;
}

/* Which choices are read, and so decided, may differ. */
static void same_ways(struct arena *arena, const struct slice *a,
                      const struct slice *b, uint32_t watch)
{
    struct exploration *x = explore(a, NULL), *y = explore(b, NULL);
    const struct sequence *p = sequence_find(arena, x, GOAL_WATCH, watch);
    const struct sequence *q = sequence_find(arena, y, GOAL_WATCH, watch);

    assert_true(p != NULL && q != NULL);
    assert_int_equal(p->length, q->length);
    assert_int_equal(p->operator_cost, q->operator_cost);
    assert_memory_equal(p->choices, q->choices,
                        (size_t)p->length * p->n_choices *
                            sizeof *p->choices);
    exploration_free(x);
    exploration_free(y);
}

/* The number of cells cut. */
static uint32_t compare(uint64_t seed, uint64_t *before, uint64_t *after)
{
    struct arena *arena = arena_new();
    struct random_counter r;
    const struct slice *slice, *made;
    const struct reach *whole, *part;
    uint32_t level[COUNTER_WATCHES], situations, n;

    random_counter_make(&r, seed, true);
    slice = hand_slice(&r.h);
    made = saturate(arena, slice, all);
    n = made->n_cut;
    assert_true((n == 0) == (made == slice));
    random_counter_walk(slice, level, &situations);
    whole = look(arena, slice).reach;
    part = look(arena, made).reach;
    assert_int_equal(whole->situations, situations);
    assert_true(part->situations <= whole->situations);
    assert_int_equal(part->dead_end, whole->dead_end);
    for (uint32_t i = 0; i < COUNTER_WATCHES; i++) {
        if (part->watch_level[i] != level[i])
            fail_msg("seed %u, watch %u: at %u, in truth at %u",
                     (unsigned)seed, i, part->watch_level[i], level[i]);
        if (n > 0 && level[i] > 0)
            same_ways(arena, slice, made, i);
    }
    for (uint32_t i = 0; i < slice->n_ends; i++)
        assert_int_equal(part->end_level[i], whole->end_level[i]);
    if (n > 0) {
        *before += whole->situations;
        *after += part->situations;
    }
    hand_release(&r.h);
    arena_free(arena);
    return n;
}

static void nothing_is_lost(void **state)
{
    uint64_t before = 0, after = 0;
    unsigned cut = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        cut += compare(seed, &before, &after) > 0;
    print_message("%u of %u cut, %u situations instead of %u\n", cut, SEEDS,
                  (unsigned)after, (unsigned)before);
    assert_true(cut > SEEDS / 8 && after * 2 < before);
}

/* ---- who makes it stay whole ---- */

struct small {
    struct hand h;
    flat_expr go, count, other;
};

static void begin(struct small *s)
{
    flat_expr more;

    hand_init(&s->h);
    s->go = hand_choice(&s->h, FLAT_OPERATOR, 2, 0);
    s->count = hand_cell(&s->h, 0, 1000000, 1);
    s->other = hand_cell(&s->h, 0, 1000000, 1);
    more = hand_op(&s->h, FLAT_ADD, s->count, hand_const(&s->h, 1));
    hand_next(&s->h, s->count, hand_const(&s->h, 0),
              hand_ite(&s->h, s->go, more, hand_const(&s->h, 0)));
    hand_next(&s->h, s->other, hand_const(&s->h, 0), hand_const(&s->h, 0));
}

static int64_t cut_at(struct small *s)
{
    struct arena *arena = arena_new();
    const struct slice *made = saturate(arena, hand_slice(&s->h), all);
    int64_t high = made->cells[0].high;

    arena_free(arena);
    hand_release(&s->h);
    return high;
}

static void where_everybody_has_seen_enough(void **state)
{
    struct small s;

    (void)state;
    begin(&s);
    hand_watch(&s.h, hand_const(&s.h, 0),
               hand_op(&s.h, FLAT_LE, hand_const(&s.h, 12), s.count));
    assert_int_equal(cut_at(&s), 12);
    begin(&s);
    hand_watch(&s.h, hand_const(&s.h, 0),
               hand_op(&s.h, FLAT_EQ, s.count, hand_const(&s.h, 12)));
    hand_assume(&s.h, hand_const(&s.h, 1),
                hand_op(&s.h, FLAT_LT, s.count, hand_const(&s.h, 70)));
    assert_int_equal(cut_at(&s), 70);
}

static void whole_where_the_number_is_read(void **state)
{
    struct small s;

    (void)state;
    begin(&s);
    hand_watch(&s.h, hand_const(&s.h, 0),
               hand_op(&s.h, FLAT_LT, s.count, s.other));
    assert_int_equal(cut_at(&s), 1000000);
    begin(&s);
    hand_value(&s.h, hand_const(&s.h, 0), s.count);
    assert_int_equal(cut_at(&s), 1000000);
    begin(&s);
    hand_next(&s.h, s.other, hand_const(&s.h, 0), s.count);
    assert_int_equal(cut_at(&s), 1000000);
    begin(&s);
    hand_watch(&s.h, hand_const(&s.h, 0),
               hand_op(&s.h, FLAT_EQ, hand_const(&s.h, 0),
                       hand_op(&s.h, FLAT_MOD, s.count,
                               hand_const(&s.h, 10))));
    assert_int_equal(cut_at(&s), 1000000);
}

static void whole_where_it_counts_down(void **state)
{
    struct small s;

    (void)state;
    begin(&s);
    hand_watch(&s.h, hand_const(&s.h, 0),
               hand_op(&s.h, FLAT_LE, hand_const(&s.h, 12), s.count));
    hand_next(&s.h, s.count, hand_const(&s.h, 900),
              hand_op(&s.h, FLAT_SUB, s.count, s.go));
    assert_int_equal(cut_at(&s), 1000000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(where_everybody_has_seen_enough),
        cmocka_unit_test(whole_where_the_number_is_read),
        cmocka_unit_test(whole_where_it_counts_down),
        cmocka_unit_test(nothing_is_lost),
    };

    return cmocka_run_group_tests_name("saturate", tests, NULL, NULL);
}
