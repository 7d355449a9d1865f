/* Causes that occur and faults that appear: every value of every leaf, for
 * random limits and sets, against the rule said plainly. */
#include "logic/present.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"
#include "logic/build.h"

enum { MOST = 5, SETS = 3, ROUNDS = 400 };

struct trial {
    struct arena *arena;
    struct flat_builder *m;
    struct occurring causes[MOST];
    uint32_t members[SETS][MOST];
    struct cause_set sets[SETS];
    struct occurring_limits limits;
    uint32_t n;
    uint64_t seed;
};

static uint32_t any(struct trial *t, uint32_t below)
{
    t->seed = t->seed * UINT64_C(6364136223846793005) + 1442695040888963407;
    return (uint32_t)(t->seed >> 33) % below;
}

/* Cell i and choice i stand for what was before and what may be now. */
static int64_t value(const struct trial *t, flat_expr expr, uint32_t before,
                     uint32_t chosen)
{
    const struct flat_node *nodes = flat_nodes(t->m);
    int64_t *at = calloc(expr + 1, sizeof *at), result;

    for (uint32_t i = 0; i <= expr; i++) {
        const struct flat_node *node = &nodes[i];

        if (node->op == FLAT_CONST)
            at[i] = node->value;
        else if (node->op == FLAT_CELL)
            at[i] = before >> node->a & 1;
        else if (node->op == FLAT_CHOICE)
            at[i] = chosen >> node->a & 1;
        else
            at[i] = flat_apply(node->op, at[node->a],
                               node->b == FLAT_NONE ? 0 : at[node->b],
                               node->c == FLAT_NONE ? 0 : at[node->c]);
    }
    result = at[expr];
    free(at);
    return result;
}

static bool completes_one(const struct trial *t, uint32_t occurred,
                          uint32_t cause)
{
    for (uint32_t i = 0; i < t->limits.n_forbidden; i++) {
        uint32_t mask = 0;

        for (uint32_t k = 0; k < t->sets[i].n; k++)
            mask |= 1u << t->sets[i].causes[k];
        if (mask >> cause & 1 && ((occurred | 1u << cause) & mask) == mask)
            return true;
    }
    return false;
}

/* One after the other in declared order. */
static uint32_t plainly(const struct trial *t, uint32_t before,
                        uint32_t chosen)
{
    uint32_t occurred = before;

    for (uint32_t i = 0; i < t->n; i++)
        if (chosen >> i & 1 && !(occurred >> i & 1) &&
            (uint32_t)__builtin_popcount(occurred) < t->limits.most &&
            !completes_one(t, occurred, i))
            occurred |= 1u << i;
    return occurred;
}

static void make(struct trial *t)
{
    t->n = 1 + any(t, MOST);
    t->limits = (struct occurring_limits){any(t, t->n + 2), t->sets,
                                          any(t, SETS + 1)};
    for (uint32_t i = 0; i < t->n; i++)
        t->causes[i] = (struct occurring){
            flat_leaf(t->m, FLAT_CELL, i, 0, 1),
            flat_leaf(t->m, FLAT_CHOICE, i, 0, 1), 0};
    for (uint32_t i = 0; i < t->limits.n_forbidden; i++) {
        uint32_t *member = t->members[i], n = 0;

        for (uint32_t k = 0; k < t->n; k++)
            if (any(t, 2))
                member[n++] = k;
        if (n == 0)
            member[n++] = any(t, t->n);
        t->sets[i] = (struct cause_set){member, n};
    }
}

/* What never happens before need not be right after it either. */
static bool can_be(const struct trial *t, uint32_t before)
{
    return plainly(t, 0, before) == before;
}

static void causes_occur_as_the_rule_says(void **state)
{
    struct trial t = {.seed = 7};
    uint32_t looked_at = 0;

    (void)state;
    for (int round = 0; round < ROUNDS; round++) {
        t.arena = arena_new();
        t.m = flat_builder_new(t.arena);
        make(&t);
        present_count(t.m, t.causes, t.n, &t.limits);
        for (uint32_t both = 0; both < 1u << 2 * t.n; both++) {
            uint32_t before = both & ((1u << t.n) - 1), now = 0;

            if (!can_be(&t, before))
                continue;
            for (uint32_t i = 0; i < t.n; i++)
                now |= (uint32_t)value(&t, t.causes[i].present, before,
                                       both >> t.n) << i;
            assert_int_equal(now, plainly(&t, before, both >> t.n));
            looked_at++;
        }
        flat_builder_free(t.m);
        arena_free(t.arena);
    }
    assert_true(looked_at > 10000);
}

/* Without sets and with room for all, what occurs is one OR. */
static void the_plain_case_costs_nothing(void **state)
{
    struct trial t = {.arena = arena_new(), .n = 2, .limits = {.most = 2}};

    (void)state;
    t.m = flat_builder_new(t.arena);
    for (uint32_t i = 0; i < t.n; i++)
        t.causes[i] = (struct occurring){
            flat_leaf(t.m, FLAT_CELL, i, 0, 1),
            flat_leaf(t.m, FLAT_CHOICE, i, 0, 1), 0};
    present_count(t.m, t.causes, t.n, &t.limits);
    for (uint32_t i = 0; i < t.n; i++)
        assert_int_equal(t.causes[i].present,
                         flat_binary(t.m, FLAT_OR, t.causes[i].before,
                                     t.causes[i].choice));
    flat_builder_free(t.m);
    arena_free(t.arena);
}

/* Cell 0 and choice 0 are the fault's, cell 1 says whether its cause has
 * occurred. */
static void faults_appear_and_go(void **state)
{
    struct trial t = {.arena = arena_new()};

    (void)state;
    t.m = flat_builder_new(t.arena);
    for (uint32_t goes = 0; goes < 2; goes++) {
        struct appearing fault = {flat_leaf(t.m, FLAT_CELL, 0, 0, 1),
                                  flat_leaf(t.m, FLAT_CHOICE, 0, 0, 1),
                                  flat_leaf(t.m, FLAT_CELL, 1, 0, 1), goes};
        flat_expr present = present_appears(t.m, &fault);

        for (uint32_t chosen = 0; chosen < 2; chosen++) {
            assert_int_equal(value(&t, present, 0, chosen), 0);
            assert_int_equal(value(&t, present, 2, chosen), chosen);
            assert_int_equal(value(&t, present, 3, chosen),
                             !(goes && chosen));
        }
    }
    flat_builder_free(t.m);
    arena_free(t.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(causes_occur_as_the_rule_says),
        cmocka_unit_test(the_plain_case_costs_nothing),
        cmocka_unit_test(faults_appear_and_go),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
