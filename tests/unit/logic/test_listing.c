/* The bytes of listings: names, numbers, shared parts written once. */
#include "logic/listing.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "logic/build.h"
#include "logic/slice.h"
#include "tests/support/plain_faults.h"

static const int64_t two[] = {0, 1};
static const enum flat_hole hole_kind[] = {HOLE_FIRST, HOLE_FAULT};
static const uint32_t hole_index[] = {0, 0};

struct sample {
    struct flat_choice choices[2];
    struct flat_cell cells[3];
    struct flat_watch watch;
    struct flat_assumption assumption;
    struct flat flat;
};

static void make_cells(struct sample *s, struct flat_builder *m)
{
    flat_expr press = flat_leaf(m, FLAT_CHOICE, 1, 0, 1);
    flat_expr fault = flat_leaf(m, FLAT_HOLE, 1, 0, 1);
    flat_expr latch = flat_leaf(m, FLAT_CELL, 1, 0, 1);
    flat_expr age = flat_leaf(m, FLAT_CELL, 2, 0, 900);
    flat_expr held = flat_binary(m, FLAT_OR, press, fault);
    flat_expr grown = flat_binary(m, FLAT_ADD, age, flat_const(m, 100));
    flat_expr full = flat_binary(m, FLAT_LE, flat_const(m, 900), age);
    flat_expr zero = flat_const(m, 0);

    s->cells[0] = (struct flat_cell){"F1", 0, 0, 0, 1, 1, zero, fault};
    s->cells[1] = (struct flat_cell){
        "latch", 0, 1, 0, 1, 1, zero, flat_binary(m, FLAT_OR, latch, held)};
    s->cells[2] = (struct flat_cell){
        "age", 0, 2, 0, 900, 100, zero,
        flat_ite(m, held, flat_ite(m, full, age, grown), zero)};
    s->watch = (struct flat_watch){
        WATCH_BREACH, 4, 0,
        flat_binary(m, FLAT_AND, full,
                    flat_not(m, flat_leaf(m, FLAT_HOLE, 0, 0, 1)))};
    s->assumption.condition = flat_not(m, flat_binary(m, FLAT_AND, press,
                                                      latch));
}

static void make_sample(struct sample *s, struct flat_builder *m)
{
    s->choices[0] = (struct flat_choice){FLAT_FAULT, 2, two, 0, "F1", 0};
    s->choices[1] =
        (struct flat_choice){FLAT_OPERATOR, 2, two, 0, "press", 0};
    s->assumption.current_inputs_only = false;
    make_cells(s, m);
    s->flat = (struct flat){
        .nodes = flat_nodes(m), .n_nodes = flat_builder_count(m),
        .choices = s->choices, .n_choices = 2, .cells = s->cells,
        .n_cells = 3, .assumptions = &s->assumption, .n_assumptions = 1,
        .watches = &s->watch, .n_watches = 1, .hole_kind = hole_kind,
        .hole_index = hole_index, .n_holes = 2};
    plain_faults(&s->flat, 1);
}

static const char flat_words[] =
    "choice x0:F1 fault, values 0 1, rest 0\n"
    "choice x1:press operator, values 0 1, rest 0\n"
    "part #1: (x1:press OR fault(0))\n"
    "part #2: (c2:age = 900)\n"
    "cell c0:F1 0 .. 1 by 1\n"
    "  initial 0\n"
    "  next fault(0)\n"
    "cell c1:latch 0 .. 1 by 1\n"
    "  initial 0\n"
    "  next (c1:latch OR #1)\n"
    "cell c2:age 0 .. 900 by 100\n"
    "  initial 0\n"
    "  next (IF #1 THEN (IF #2 THEN 900 ELSE (c2:age + 100)) ELSE 0)\n"
    "assumption 0 NOT (x1:press AND c1:latch)\n"
    "watch 0 breach 4/0 (#2 AND NOT first)\n";

static const char slice_words[] =
    "faults at most 1, times do not count\n"
    "choice x0:F1 fault, values 0 1, rest 0\n"
    "choice x1:press operator, values 0 1, rest 0\n"
    "part #1: (c2:age = 900)\n"
    "part #2: (x1:press OR x0:F1)\n"
    "part #3: (c0:F1 OR x0:F1)\n"
    "part #4: (x1:press OR #3)\n"
    "cell c0:F1 0 .. 1 by 1\n"
    "  first x0:F1\n"
    "  next #3\n"
    "cell c1:latch 0 .. 1 by 1\n"
    "  first #2\n"
    "  next (c1:latch OR #4)\n"
    "cell c2:age 0 .. 900 by 100\n"
    "  first (IF #2 THEN 100 ELSE 0)\n"
    "  next (IF #4 THEN (IF #1 THEN 900 ELSE (c2:age + 100)) ELSE 0)\n"
    "assumption 0\n"
    "  first 1\n"
    "  next NOT (x1:press AND c1:latch)\n"
    "watch 0 breach 4/0\n"
    "  first 0\n"
    "  next #1\n";

static void listings_have_these_bytes(void **state)
{
    struct arena *arena = arena_new();
    struct flat_builder *m = flat_builder_new(arena);
    struct sample s;
    uint32_t watch = 0;
    struct slice_request request = {.watches = &watch, .n_watches = 1,
                                    .faults = 1};
    struct text out = {0};

    (void)state;
    make_sample(&s, m);
    listing_flat(&out, &s.flat);
    assert_string_equal(text_str(&out), flat_words);
    text_clear(&out);
    listing_slice(&out, &s.flat,
                  slice_build(arena, m, &s.flat, &request));
    assert_string_equal(text_str(&out), slice_words);
    text_release(&out);
    flat_builder_free(m);
    arena_free(arena);
}

/* Deeper than any stack would bear, and each name only once. */
static void deep_expressions_are_written(void **state)
{
    struct arena *arena = arena_new();
    struct flat_builder *m = flat_builder_new(arena);
    struct flat_choice *choices = arena_array(arena, 50000, sizeof *choices);
    struct flat_watch watch = {WATCH_ERROR, 0, 0, flat_const(m, 0)};
    struct flat flat = {.choices = choices, .watches = &watch,
                        .n_watches = 1};
    struct text out = {0};

    (void)state;
    for (uint32_t i = 0; i < 50000; i++) {
        choices[i].name = "x";
        watch.condition = flat_binary(m, FLAT_XOR, watch.condition,
                                      flat_leaf(m, FLAT_CHOICE, i, 0, 1));
    }
    flat.nodes = flat_nodes(m);
    flat.n_nodes = flat_builder_count(m);
    listing_flat(&out, &flat);
    assert_in_range(out.n, 50000 * 12, 50000 * 18);
    text_release(&out);
    flat_builder_free(m);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(listings_have_these_bytes),
        cmocka_unit_test(deep_expressions_are_written),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
