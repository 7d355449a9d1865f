/* Several threads find what one finds, number by number: random slices, every
 * requirement of the demonstrations, and runs that are stopped. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdatomic.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "engine/tiles/tiles.h"
#include "lower/lower.h"
#include "study/load.h"
#include "tests/support/random_slice.h"

#ifdef __SANITIZE_ADDRESS__
enum { SLICES = 60, EVERY = 8 };
#elif defined TEST_WHOLE
enum { SLICES = 300, EVERY = 1 };
#else
enum { SLICES = 150, EVERY = 1 };
#endif

static const uint32_t bits[] = {0, 3, TILES_AUTOMATIC};

/* Runs of several threads that were compared. */
static uint32_t several;

static void same(const struct slice *slice, struct explore_setting setting,
                 uint32_t n_bits)
{
    struct tiles *one, *more;
    const char *differ;

    setting.threads = 1;
    one = tiles_explore(slice, &setting, n_bits);
    for (uint32_t n = 2; n <= 3; n++) {
        setting.threads = n;
        setting.alone = 1; /* from the beginning */
        more = tiles_explore(slice, &setting, n_bits);
        differ = reach_differ(slice, tiles_reach(one), tiles_reach(more));
        if (differ)
            fail_msg("%s", differ);
        several += tiles_effort(more).threads == n;
        tiles_free(more);
    }
    tiles_free(one);
}

static void random_slices(void **state)
{
    (void)state;
    several = 0;
    for (uint64_t seed = 40001; seed <= 40000 + SLICES; seed++) {
        struct explore_setting setting = {0};
        bool until[8] = {false};
        struct random_slice made;
        const struct slice *slice;

        random_slice_make(&made, seed);
        if (seed % 3 == 0)
            random_slice_fix(&made, &setting);
        slice = hand_slice(&made.h);
        assert_true(slice->n_watches < 8);
        same(slice, setting, bits[seed % 3]);
        until[seed % slice->n_watches] = true;
        setting.until = until;
        same(slice, setting, bits[seed % 3]);
        hand_release(&made.h);
    }
    print_message("%u runs of several threads\n", several);
    assert_true(several > SLICES / 2);
}

/* ---- demonstrations ---- */

typedef void slice_job(const struct slice *slice);

static void compare(const struct slice *slice)
{
    same(slice, (struct explore_setting){0}, TILES_AUTOMATIC);
}

/* Reads a review and hands over the slice of each requirement, or of one in
 * so many. */
static void all(const char *path, uint32_t every, slice_job *job)
{
    const struct load_request request = {.path = path};
    struct loaded *l = load_run(&request);
    struct lowered *w;

    assert_non_null(l->model);
    w = lower_model(l->arena, l->model, l->diags);
    for (uint32_t r = 0; r < l->model->n_requirements; r += every) {
        const struct requirement *asked = &l->model->requirements[r];
        const struct slice_request wanted = {.watches = &w->breach[r],
                                             .n_watches = 1,
                                             .faults = asked->despite,
                                             .allowed = asked->despite_of};

        job(slice_build(l->arena, w->builder, w->flat, &wanted));
    }
    lowered_free(w);
    loaded_free(l);
}

static void models(void **state)
{
    (void)state;
    several = 0;
    all("models/table/table.review", EVERY, compare);
    all("models/tailgate/tailgate.review", EVERY, compare);
    all("models/rear_body/rear_body.review", EVERY * 4, compare);
    assert_true(several > (EVERY == 1 ? 30 : 4));
}

/* ---- limits ---- */

/* What is complete under a limit is what the whole run has there. */
static void full(const struct slice *slice)
{
    struct explore_setting setting = {.threads = 2, .alone = 1};
    struct tiles *whole = tiles_explore(slice, &setting, 0);
    const struct reach *all_of = tiles_reach(whole);
    uint32_t stopped = 0;

    assert_int_equal(all_of->end, EXPLORE_COMPLETE);
    for (uint64_t most = 1 << 18; most < (uint64_t)1 << 25; most *= 2) {
        struct tiles *t;
        const struct reach *r;

        setting.most_bytes = most;
        t = tiles_explore(slice, &setting, 0);
        r = tiles_reach(t);
        stopped += r->end == EXPLORE_MEMORY && r->levels > 2;
        assert_true(r->levels <= all_of->levels);
        for (uint32_t i = 0; i < r->levels; i++)
            assert_int_equal(r->level_size[i], all_of->level_size[i]);
        tiles_free(t);
    }
    assert_true(stopped > 0);
    tiles_free(whole);
}

static void no_bytes(void **state)
{
    (void)state;
    all("tests/bench/models/counters.review", 1, full);
}

static atomic_uint looks;

static bool soon(void *context)
{
    return atomic_fetch_add(&looks, 1) > *(const unsigned *)context;
}

static void stop_soon(const struct slice *slice)
{
    for (unsigned after = 1; after < 3000; after = after * 3 + 1) {
        const struct explore_setting setting = {
            .threads = 2, .alone = 1, .interrupted = soon,
            .interrupted_context = &after};
        struct tiles *t;

        atomic_store(&looks, 0);
        t = tiles_explore(slice, &setting, 0);
        assert_int_equal(tiles_reach(t)->end, EXPLORE_INTERRUPTED);
        tiles_free(t);
    }
}

static void interrupted(void **state)
{
    (void)state;
    all("tests/bench/models/counters.review", 1, stop_soon);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_slices),
        cmocka_unit_test(models),
        cmocka_unit_test(no_bytes),
        cmocka_unit_test(interrupted),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
