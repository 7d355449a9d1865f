/* The engine over sets against the one that stores situation by situation,
 * on every requirement of the models. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "check/model.h"
#include "engine/counted.h"
#include "engine/sets/shortest.h"
#include "lower/lower.h"
#include "study/load.h"
#include "tests/support/same_reach.h"

/* More than this takes the other engine long. */
static const uint64_t MOST_COMPARED = 2500;

static const struct slice *slice_of(struct arena *arena,
                                    const struct model *model,
                                    const struct lowered *lowered,
                                    uint32_t r)
{
    const struct requirement *requirement = &model->requirements[r];
    uint32_t n = requirement->n_triggers;
    uint32_t *watches = arena_array(arena, n + 1, sizeof *watches);
    struct slice_request request = {
        .watches = watches,
        .n_watches = n + 1,
        .faults = requirement->despite,
        .allowed = requirement->despite_of,
    };

    watches[0] = lowered->breach[r];
    for (uint32_t i = 0; i < n; i++)
        watches[i + 1] = lowered->trigger[r] + i;
    return slice_build(arena, lowered->builder, lowered->flat, &request);
}

/* 0: not compared. */
static uint32_t compare(const struct slice *slice, struct arena *arena)
{
    struct sets *s = sets_explore(slice, NULL);
    struct exploration *x;
    enum explore_end end;
    uint32_t compared = 0;

    assert_int_equal(sets_reach(s)->end, EXPLORE_COMPLETE);
    if (sets_reach(s)->situations <= MOST_COMPARED) {
        x = explore(slice, NULL);
        same_reach(slice, exploration_reach(arena, x), sets_reach(s));
        for (uint32_t i = 0; i < slice->n_watches; i++)
            same_sequences(sequence_find(arena, x, GOAL_WATCH, i),
                           sets_sequence(arena, s, GOAL_WATCH, i, &end));
        same_sequences(sequence_find(arena, x, GOAL_DEAD_END, 0),
                       sets_sequence(arena, s, GOAL_DEAD_END, 0, &end));
        exploration_free(x);
        compared = 1;
    }
    sets_free(s);
    return compared;
}

static uint32_t compare_model(const char *path)
{
    const struct load_request request = {.path = path};
    struct loaded *loaded = load_run(&request);
    struct lowered *lowered;
    uint32_t compared = 0;

    assert_non_null(loaded->model);
    lowered = lower_model(loaded->arena, loaded->model, loaded->diags);
    for (uint32_t r = 0; r < loaded->model->n_requirements; r++) {
        struct arena *arena = arena_new();

        compared += compare(slice_of(arena, loaded->model, lowered, r),
                            arena);
        arena_free(arena);
    }
    lowered_free(lowered);
    loaded_free(loaded);
    return compared;
}

static void agrees_on_models(void **state)
{
    (void)state;
    assert_int_equal(compare_model("models/table/table.review"), 4);
    assert_true(compare_model("models/tailgate/tailgate.review") >= 9);
    assert_true(compare_model("models/rear_body/rear_body.review") >= 36);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_on_models),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
