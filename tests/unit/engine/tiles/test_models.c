/* Every requirement of the demonstrations: with tile bits and without, and by
 * the explorer that keeps ways, up to a number of situations. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "engine/tiles/tiles.h"
#include "lower/lower.h"
#include "study/load.h"
#include "tests/support/same_tiles.h"

enum { MOST = 6000 };

static void one(const struct loaded *l, const struct lowered *w, uint32_t r)
{
    static const uint32_t bits[] = {0, 5, TILES_AUTOMATIC};
    const struct requirement *asked = &l->model->requirements[r];
    const struct slice_request request = {.watches = &w->breach[r],
                                          .n_watches = 1,
                                          .faults = asked->despite,
                                          .allowed = asked->despite_of};
    const struct explore_setting setting = {.most_situations = MOST};
    struct arena *arena = arena_new();
    const struct slice *slice =
        slice_build(arena, w->builder, w->flat, &request);
    struct exploration *x = explore(slice, &setting);

    for (size_t i = 0; i < sizeof bits / sizeof *bits; i++) {
        struct tiles *t = tiles_explore(slice, &setting, bits[i]);

        same_tiles(slice, tiles_reach(t), x);
        tiles_free(t);
    }
    exploration_free(x);
    arena_free(arena);
}

static void all(const char *path)
{
    const struct load_request request = {.path = path};
    struct loaded *l = load_run(&request);
    struct lowered *w;

    assert_non_null(l->model);
    w = lower_model(l->arena, l->model, l->diags);
    assert_true(l->model->n_requirements > 0);
    for (uint32_t r = 0; r < l->model->n_requirements; r++)
        one(l, w, r);
    lowered_free(w);
    loaded_free(l);
}

static void table(void **state)
{
    (void)state;
    all("models/table/table.review");
}

static void tailgate(void **state)
{
    (void)state;
    all("models/tailgate/tailgate.review");
}

static void rear_body(void **state)
{
    (void)state;
    all("models/rear_body/rear_body.review");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(table),
        cmocka_unit_test(tailgate),
        cmocka_unit_test(rear_body),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
