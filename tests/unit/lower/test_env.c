#include "lower/env.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"

enum { SLOTS = 4 };

struct bench {
    struct arena *arena;
    struct flat_builder *b;
    struct env env;
    flat_expr yes, other; /* two conditions */
};

static void bench_init(struct bench *t)
{
    t->arena = arena_new();
    t->b = flat_builder_new(t->arena);
    env_init(&t->env, t->arena, t->b, SLOTS);
    for (uint32_t i = 0; i < SLOTS; i++)
        env_set(&t->env, i, flat_const(t->b, i));
    t->yes = flat_leaf(t->b, FLAT_CHOICE, 0, 0, 1);
    t->other = flat_leaf(t->b, FLAT_CHOICE, 1, 0, 1);
}

static void bench_release(struct bench *t)
{
    env_release(&t->env);
    flat_builder_free(t->b);
    arena_free(t->arena);
}

static void set(struct bench *t, uint32_t slot, int64_t value)
{
    env_set(&t->env, slot, flat_const(t->b, value));
}

static flat_expr either(struct bench *t, flat_expr condition, int64_t yes,
                        int64_t no)
{
    return flat_ite(t->b, condition, flat_const(t->b, yes),
                    flat_const(t->b, no));
}

static void take_back(void **state)
{
    struct bench t;
    (void)state;
    bench_init(&t);
    size_t mark = env_mark(&t.env);
    set(&t, 1, 10);
    set(&t, 2, 20);
    set(&t, 1, 11);
    struct env_changes changes = env_take(&t.env, mark);
    assert_int_equal(changes.n, 2);
    assert_int_equal(changes.at[0].slot, 1);
    assert_int_equal(changes.at[0].value, flat_const(t.b, 11));
    assert_int_equal(env_get(&t.env, 1), flat_const(t.b, 1));
    assert_int_equal(env_get(&t.env, 2), flat_const(t.b, 2));
    assert_int_equal(env_mark(&t.env), mark);
    bench_release(&t);
}

static void merge_two_sides(void **state)
{
    struct bench t;
    (void)state;
    bench_init(&t);
    size_t mark = env_mark(&t.env);
    set(&t, 0, 10);
    set(&t, 1, 11);
    struct env_changes then = env_take(&t.env, mark);
    set(&t, 1, 21);
    set(&t, 2, 22);
    env_merge(&t.env, mark, t.yes, &then);
    assert_int_equal(env_get(&t.env, 0), either(&t, t.yes, 10, 0));
    assert_int_equal(env_get(&t.env, 1), either(&t, t.yes, 11, 21));
    assert_int_equal(env_get(&t.env, 2), either(&t, t.yes, 2, 22));
    assert_int_equal(env_get(&t.env, 3), flat_const(t.b, 3));
    env_take(&t.env, mark);
    assert_int_equal(env_get(&t.env, 1), flat_const(t.b, 1));
    bench_release(&t);
}

/* Inside the inner branch a constant is a constant; outside it depends on
 * both conditions. */
static void merge_nested(void **state)
{
    struct bench t;
    (void)state;
    bench_init(&t);
    size_t outer = env_mark(&t.env);
    set(&t, 0, 5);
    size_t inner = env_mark(&t.env);
    set(&t, 0, 6);
    assert_int_equal(env_get(&t.env, 0), flat_const(t.b, 6));
    struct env_changes deep = env_take(&t.env, inner);
    assert_int_equal(env_get(&t.env, 0), flat_const(t.b, 5));
    env_merge(&t.env, inner, t.other, &deep);
    struct env_changes then = env_take(&t.env, outer);
    assert_int_equal(then.n, 1);
    env_merge(&t.env, outer, t.yes, &then);
    assert_int_equal(env_get(&t.env, 0),
                     flat_ite(t.b, t.yes, either(&t, t.other, 6, 5),
                              flat_const(t.b, 0)));
    bench_release(&t);
}

static void set_on_condition(void **state)
{
    struct bench t;
    (void)state;
    bench_init(&t);
    env_set_if(&t.env, t.yes, 3, flat_const(t.b, 9));
    assert_int_equal(env_get(&t.env, 3), either(&t, t.yes, 9, 3));
    env_set_if(&t.env, flat_const(t.b, 0), 2, flat_const(t.b, 9));
    assert_int_equal(env_get(&t.env, 2), flat_const(t.b, 2));
    bench_release(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(take_back),
        cmocka_unit_test(merge_two_sides),
        cmocka_unit_test(merge_nested),
        cmocka_unit_test(set_on_condition),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
