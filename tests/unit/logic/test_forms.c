/* Random flat logic, run as it stands with holes filled by the plain rules,
 * against its slices: every watch must first be seen at the same level. */
#include "logic/forms.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "logic/build.h"
#include "logic/slice.h"
#include "tests/support/plain_faults.h"

enum {
    FAULTS = 3, BITS = 3, NUMBERS = 2, CELLS = FAULTS + BITS + NUMBERS,
    CHOICES = FAULTS + 3, WATCHES = 3, TERMS = 40, STATES = 1 << 10,
    ROUNDS = 300
};

/* Bits of a situation that a cell takes, and where they begin. */
static uint32_t bits_of(uint32_t cell)
{
    return cell < FAULTS + BITS ? 1 : 2;
}

static uint32_t shift_of(uint32_t cell)
{
    return cell <= FAULTS + BITS ? cell : cell + cell - FAULTS - BITS;
}

static const int64_t two[] = {0, 1};
static const enum flat_hole hole_kind[] = {HOLE_FIRST, HOLE_FAULT,
                                           HOLE_FAULT, HOLE_FAULT};
static const uint32_t hole_index[] = {0, 0, 1, 2};

struct world {
    struct arena *arena;
    struct flat_builder *m;
    struct flat flat;
    struct flat_cell cells[CELLS];
    struct flat_choice choices[CHOICES];
    struct flat_watch watches[WATCHES];
    flat_expr bit[TERMS], number[TERMS];
    uint32_t n_bits, n_numbers;
    uint64_t seed;
};

static uint32_t any(struct world *w, uint32_t below)
{
    w->seed = w->seed * UINT64_C(6364136223846793005) + 1442695040888963407;
    return (uint32_t)(w->seed >> 33) % below;
}

static flat_expr any_bit(struct world *w)
{
    flat_expr e = w->bit[any(w, w->n_bits)];

    return any(w, 3) ? e : flat_not(w->m, e);
}

static flat_expr any_number(struct world *w)
{
    return any(w, 4) ? w->number[any(w, w->n_numbers)]
                     : flat_const(w->m, any(w, 4));
}

static void grow_terms(struct world *w)
{
    while (w->n_bits < TERMS && w->n_numbers < TERMS) {
        flat_expr sum;

        if (any(w, 2))
            w->bit[w->n_bits++] =
                flat_binary(w->m, FLAT_AND + any(w, 3), any_bit(w),
                            any_bit(w));
        else
            w->bit[w->n_bits++] =
                flat_binary(w->m, FLAT_EQ + any(w, 3), any_number(w),
                            any_number(w));
        sum = flat_binary(w->m, FLAT_ADD, any_number(w), any_number(w));
        w->number[w->n_numbers++] = flat_ite(
            w->m, any_bit(w), any_number(w),
            flat_binary(w->m, FLAT_MOD, sum, flat_const(w->m, 4)));
    }
}

static void make_leaves(struct world *w)
{
    for (uint32_t i = 0; i < 1 + FAULTS; i++)
        w->bit[w->n_bits++] = flat_leaf(w->m, FLAT_HOLE, i, 0, 1);
    for (uint32_t i = 0; i < CHOICES; i++) {
        w->choices[i] = (struct flat_choice){
            i < FAULTS ? FLAT_FAULT : FLAT_OPERATOR, 2, two, 0, "x", i};
        if (i >= FAULTS)
            w->bit[w->n_bits++] = flat_leaf(w->m, FLAT_CHOICE, i, 0, 1);
    }
    for (uint32_t i = FAULTS; i < CELLS; i++) {
        flat_expr leaf =
            flat_leaf(w->m, FLAT_CELL, i, 0, bits_of(i) == 1 ? 1 : 3);

        if (bits_of(i) == 1)
            w->bit[w->n_bits++] = leaf;
        else
            w->number[w->n_numbers++] = leaf;
    }
}

/* A condition that is not seen at once, mostly. */
static flat_expr rare(struct world *w)
{
    flat_expr e = any_bit(w);

    for (int i = 0; i < 3; i++)
        e = flat_binary(w->m, FLAT_AND, e, any_bit(w));
    return flat_binary(w->m, FLAT_AND, e,
                       flat_binary(w->m, FLAT_EQ, any_number(w),
                                   flat_const(w->m, any(w, 4))));
}

static void make_world(struct world *w, uint64_t seed)
{
    memset(w, 0, sizeof *w);
    w->seed = seed;
    w->arena = arena_new();
    w->m = flat_builder_new(w->arena);
    make_leaves(w);
    grow_terms(w);
    for (uint32_t i = 0; i < CELLS; i++) {
        flat_expr next = bits_of(i) == 1 ? any_bit(w) : any_number(w);

        if (i < FAULTS)
            next = w->bit[1 + i];
        w->cells[i] = (struct flat_cell){
            "c", 0, i, 0, bits_of(i) == 1 ? 1 : 3, 1,
            flat_const(w->m, i < FAULTS ? 0 : any(w, 2)), next};
    }
    for (uint32_t i = 0; i < WATCHES; i++)
        w->watches[i].condition = rare(w);
    w->flat = (struct flat){
        .nodes = flat_nodes(w->m), .n_nodes = flat_builder_count(w->m),
        .choices = w->choices, .n_choices = CHOICES, .cells = w->cells,
        .n_cells = CELLS, .watches = w->watches, .n_watches = WATCHES,
        .hole_kind = hole_kind, .hole_index = hole_index, .n_holes = 4};
    plain_faults(&w->flat, FAULTS);
}

static void end_world(struct world *w)
{
    flat_builder_free(w->m);
    arena_free(w->arena);
}

/* One scan to be evaluated. */
struct scan {
    int64_t cell[CELLS];
    int64_t choice[CHOICES];
    int64_t hole[1 + FAULTS];
};

static void evaluate(const struct flat_node *nodes, uint32_t n,
                     const struct scan *scan, int64_t *value)
{
    for (uint32_t i = 0; i < n; i++) {
        const struct flat_node *node = &nodes[i];

        if (node->op == FLAT_CONST)
            value[i] = node->value;
        else if (node->op == FLAT_CELL)
            value[i] = scan->cell[node->a];
        else if (node->op == FLAT_CHOICE)
            value[i] = scan->choice[node->a];
        else if (node->op == FLAT_HOLE)
            value[i] = scan->hole[node->a];
        else
            value[i] = flat_apply(
                node->op, value[node->a],
                node->b == FLAT_NONE ? 0 : value[node->b],
                node->c == FLAT_NONE ? 0 : value[node->c]);
    }
}

/* Faults in declared order, as the rule says it. */
static void fill_holes(struct scan *scan, bool first, uint32_t most)
{
    int64_t appeared = 0;

    scan->hole[0] = first;
    for (int i = 0; i < FAULTS; i++)
        appeared += scan->cell[i];
    for (int i = 0; i < FAULTS; i++) {
        bool appears = !scan->cell[i] && scan->choice[i] && appeared < most;

        scan->hole[1 + i] = scan->cell[i] || appears;
        appeared += appears;
    }
}

/* What is run: the flat logic itself, or a slice of it with one watch. */
struct runner {
    const struct world *w;
    const struct slice *slice;
    uint32_t watch, most;
    bool seen[STATES];
    uint32_t level[STATES];
};

static bool step_flat(const struct runner *r, struct scan *scan, bool first,
                      uint32_t *to)
{
    const struct flat *flat = &r->w->flat;
    int64_t value[4096];
    bool hit;

    if (first)
        for (uint32_t i = 0; i < CELLS; i++)
            scan->cell[i] = flat->nodes[flat->cells[i].initial].value;
    fill_holes(scan, first, r->most);
    assert_true(flat->n_nodes <= 4096);
    evaluate(flat->nodes, flat->n_nodes, scan, value);
    *to = 0;
    for (uint32_t i = 0; i < CELLS; i++)
        *to |= (uint32_t)value[flat->cells[i].next] << shift_of(i);
    hit = value[flat->watches[r->watch].condition];
    return hit;
}

static bool step_slice(const struct runner *r, const struct scan *scan,
                       bool first, uint32_t *to)
{
    const struct slice *s = r->slice;
    struct scan own = *scan;
    int64_t value[4096];

    for (uint32_t i = 0; i < s->n_cells; i++)
        own.cell[i] = scan->cell[s->cells[i].cell];
    assert_true(s->n_nodes <= 4096);
    evaluate(s->nodes, s->n_nodes, &own, value);
    *to = 0;
    for (uint32_t i = 0; i < s->n_cells; i++) {
        int64_t v = value[first ? s->cells[i].first : s->cells[i].next];

        assert_true(v >= s->cells[i].low && v <= s->cells[i].high);
        *to |= (uint32_t)v << shift_of(s->cells[i].cell);
    }
    return value[first ? s->watches[0].first : s->watches[0].next];
}

/* All scans from one situation; true when the watch holds in one. */
static bool scan_all(struct runner *r, uint32_t from, bool first,
                     uint32_t level)
{
    bool hit = false;

    for (uint32_t choices = 0; choices < 1u << CHOICES; choices++) {
        struct scan scan;
        uint32_t to;

        for (uint32_t i = 0; i < CELLS; i++)
            scan.cell[i] =
                from >> shift_of(i) & ((1u << bits_of(i)) - 1);
        for (uint32_t i = 0; i < CHOICES; i++)
            scan.choice[i] = choices >> i & 1;
        hit = (r->slice ? step_slice(r, &scan, first, &to)
                        : step_flat(r, &scan, first, &to)) || hit;
        if (!r->seen[to]) {
            r->seen[to] = true;
            r->level[to] = level;
        }
    }
    return hit;
}

/* The level at which the watch is first seen, 0: never. */
static uint32_t first_level(struct runner *r)
{
    bool more = true;

    memset(r->seen, 0, sizeof r->seen);
    if (scan_all(r, 0, true, 1))
        return 1;
    for (uint32_t level = 1; more; level++) {
        bool hit = false;

        more = false;
        for (uint32_t s = 0; s < STATES; s++) {
            if (!r->seen[s] || r->level[s] != level)
                continue;
            more = true;
            hit = scan_all(r, s, false, level + 1) || hit;
        }
        if (hit)
            return level + 1;
    }
    return 0;
}

static void compare_levels(const struct world *w, uint32_t watch,
                           uint32_t most, uint32_t *seen)
{
    struct runner *runner = calloc(1, sizeof *runner);
    struct slice_request request = {.watches = &watch, .n_watches = 1,
                                    .faults = most};
    uint32_t level;

    *runner = (struct runner){.w = w, .watch = watch, .most = most};
    level = first_level(runner);
    runner->slice = slice_build(w->arena, w->m, &w->flat, &request);
    assert_int_equal(first_level(runner), level);
    seen[level > 3 ? 3 : level]++;
    free(runner);
}

static void watches_are_seen_at_the_same_level(void **state)
{
    uint32_t seen[4] = {0};

    (void)state;
    for (uint64_t round = 0; round < ROUNDS; round++) {
        struct world w;

        make_world(&w, round);
        for (uint32_t watch = 0; watch < WATCHES; watch++)
            compare_levels(&w, watch, (uint32_t)round % (FAULTS + 1), seen);
        end_world(&w);
    }
    /* The samples are of all sorts: never, at once, later, much later. */
    for (int i = 0; i < 4; i++)
        assert_true(seen[i] > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(watches_are_seen_at_the_same_level),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
