/* What is kept from one request to the next changes nothing: each slice is,
 * node by node, the one that is made without. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/hash.h"
#include "check/model.h"
#include "logic/build.h"
#include "logic/keep.h"
#include "logic/slice.h"
#include "lower/lower.h"
#include "study/load.h"

enum { REQUESTS = 400, MOST_WATCHES = 4, MOST_CAUSES = 256 };

struct world {
    struct loaded *loaded;
    struct lowered *lowered;
    struct flat flat;        /* the logic, some of it exchanged now and then */
    struct flat_cell *cells; /* of it */
    uint64_t seed;
};

/* A request and what it points to. */
struct wish {
    struct slice_request request;
    uint32_t watches[MOST_WATCHES];
    flat_expr value;
    bool allowed[MOST_CAUSES];
    uint32_t studied[1], pair[2];
    struct cause_set forbidden;
};

static uint32_t pick(struct world *w, uint32_t n)
{
    w->seed = hash_word(w->seed + 1);
    return (uint32_t)(w->seed >> 20) % n;
}

static void world_open(struct world *w, const char *path)
{
    const struct load_request request = {.path = path};

    memset(w, 0, sizeof *w);
    w->loaded = load_run(&request);
    assert_non_null(w->loaded->model);
    w->lowered = lower_model(w->loaded->arena, w->loaded->model,
                             w->loaded->diags);
    w->flat = *w->lowered->flat;
    w->cells = arena_array(w->loaded->arena, w->flat.n_cells,
                           sizeof *w->cells);
    memcpy(w->cells, w->lowered->flat->cells,
           w->flat.n_cells * sizeof *w->cells);
    w->flat.cells = w->cells;
    assert_in_range(w->flat.n_causes, 2, MOST_CAUSES);
}

static void world_close(struct world *w)
{
    lowered_free(w->lowered);
    loaded_free(w->loaded);
}

static void wish_faults(struct world *w, struct wish *wish)
{
    struct slice_request *r = &wish->request;
    uint32_t n = w->flat.n_causes;

    r->faults = pick(w, 3);
    if (pick(w, 3) == 0) {
        r->allowed = wish->allowed;
        for (uint32_t i = 0; i < n; i++)
            wish->allowed[i] = pick(w, 12) == 0;
    }
    if (pick(w, 6) == 0) {
        wish->pair[0] = pick(w, n);
        wish->pair[1] = pick(w, n);
        wish->forbidden = (struct cause_set){wish->pair, 1 + pick(w, 2)};
        r->forbidden = &wish->forbidden;
        r->n_forbidden = 1;
    }
    if (pick(w, 8) == 0) {
        wish->studied[0] = pick(w, n);
        r->studied = wish->studied;
        r->n_studied = 1;
    }
}

static void wish_make(struct world *w, struct wish *wish)
{
    struct slice_request *r = &wish->request;

    memset(wish, 0, sizeof *wish);
    r->watches = wish->watches;
    r->n_watches = 1 + pick(w, MOST_WATCHES);
    for (uint32_t i = 0; i < r->n_watches; i++)
        wish->watches[i] = pick(w, w->flat.n_watches);
    r->free_times = pick(w, 2);
    wish_faults(w, wish);
    if (pick(w, 4) == 0) {
        wish->value = flat_not(w->lowered->builder,
                               w->flat.watches[wish->watches[0]].condition);
        r->values = &wish->value;
        r->n_values = 1;
    }
}

/* Another logic at the same address: a cell starts elsewhere, or keeps its
 * value for ever. */
static void exchange(struct world *w)
{
    const struct flat *flat = w->lowered->flat;
    uint32_t i = pick(w, flat->n_cells);
    struct flat_cell *cell = &w->cells[i];

    *cell = flat->cells[i];
    if (pick(w, 2))
        cell->initial = flat_const(w->lowered->builder, cell->low);
    else
        cell->next = flat_leaf(w->lowered->builder, FLAT_CELL, i, cell->low,
                               cell->high);
}

static void same_roots(const struct slice_root *a, const struct slice_root *b,
                       uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        assert_int_equal(a[i].number, b[i].number);
        assert_int_equal(a[i].first, b[i].first);
        assert_int_equal(a[i].next, b[i].next);
    }
}

static void same_cells(const struct slice *a, const struct slice *b)
{
    assert_int_equal(a->n_cells, b->n_cells);
    for (uint32_t i = 0; i < a->n_cells; i++) {
        const struct slice_cell *x = &a->cells[i], *y = &b->cells[i];

        assert_int_equal(x->cell, y->cell);
        assert_int_equal(x->low, y->low);
        assert_int_equal(x->high, y->high);
        assert_int_equal(x->node, y->node);
        assert_int_equal(x->first, y->first);
        assert_int_equal(x->next, y->next);
        assert_int_equal(x->uncut, y->uncut);
    }
}

static void same_slices(const struct slice *a, const struct slice *b)
{
    assert_int_equal(a->n_nodes, b->n_nodes);
    assert_memory_equal(a->nodes, b->nodes, a->n_nodes * sizeof *a->nodes);
    assert_memory_equal(a->used, b->used, a->n_choices);
    same_cells(a, b);
    assert_int_equal(a->n_assumptions, b->n_assumptions);
    same_roots(a->assumptions, b->assumptions, a->n_assumptions);
    assert_int_equal(a->n_motions, b->n_motions);
    same_roots(a->motions, b->motions, a->n_motions);
    same_roots(a->watches, b->watches, a->n_watches);
    same_roots(a->values, b->values, a->n_values);
    assert_int_equal(a->has_times, b->has_times);
}

static void ask(struct world *w, struct keep *keep)
{
    struct arena *arena = arena_new();
    struct wish wish;
    struct slice_request kept;

    wish_make(w, &wish);
    if (pick(w, 10) == 0)
        exchange(w);
    kept = wish.request;
    kept.keep = keep;
    same_slices(
        slice_build(arena, w->lowered->builder, &w->flat, &wish.request),
        slice_build(arena, w->lowered->builder, &w->flat, &kept));
    arena_free(arena);
}

static void changes_nothing(const char *path)
{
    struct keep *keep = keep_new();
    struct world w;

    world_open(&w, path);
    for (int i = 0; i < REQUESTS; i++)
        ask(&w, keep);
    world_close(&w);
    keep_free(keep);
}

static void on_the_tailgate(void **state)
{
    (void)state;
    changes_nothing("models/tailgate/tailgate.review");
}

static void on_the_body(void **state)
{
    (void)state;
    changes_nothing("models/rear_body/rear_body.review");
}

/* Two machines may follow one another under one keep. */
static void on_both(void **state)
{
    struct keep *keep = keep_new();
    struct world a, b;

    (void)state;
    world_open(&a, "models/tailgate/tailgate.review");
    world_open(&b, "models/rear_body/rear_body.review");
    for (int i = 0; i < 20; i++) {
        ask(&a, keep);
        ask(&b, keep);
    }
    world_close(&a);
    world_close(&b);
    keep_free(keep);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(on_the_tailgate),
        cmocka_unit_test(on_the_body),
        cmocka_unit_test(on_both),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
