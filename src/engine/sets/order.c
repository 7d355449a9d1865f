#include "engine/sets/order.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "logic/operands.h"
#include "logic/slice.h"

enum {
    ROUNDS = 40, UNPLACED = -1,
    SPARSE_PERCENT = 33 /* of all items, read by a cell on average: measured,
                           see docs/notes/sets.md */
};

/* An edge is what one root reads: items at[start[i]] to before
 * at[start[i + 1]]. */
struct draft {
    const struct slice *slice;
    uint32_t n_items;
    VEC(uint32_t) at;
    VEC(uint32_t) start;
    VEC(uint32_t) stack;
    uint32_t *seen; /* per node: number of the last walk */
    uint32_t walks;
    double *sum, *best; /* per item: room to work in */
    uint32_t *edges;
};

/* Leaves in the order in which a reader meets them. */
static void walk(struct draft *d, flat_expr root)
{
    vec_push(&d->stack, root);
    while (d->stack.n > 0) {
        flat_expr at = d->stack.at[--d->stack.n], child[3];
        const struct flat_node *node = &d->slice->nodes[at];

        if (d->seen[at] == d->walks)
            continue;
        d->seen[at] = d->walks;
        if (node->low == node->high)
            continue;
        if (node->op == FLAT_CELL)
            vec_push(&d->at, node->a);
        if (node->op == FLAT_CHOICE)
            vec_push(&d->at, d->slice->n_cells + node->a);
        for (uint32_t k = operands_of(node, child); k-- > 0;)
            vec_push(&d->stack, child[k]);
    }
}

static void add_edge(struct draft *d, flat_expr root, uint32_t cell)
{
    d->walks++;
    if (cell != FLAT_NONE)
        vec_push(&d->at, cell);
    walk(d, root);
    vec_push(&d->start, (uint32_t)d->at.n);
}

static void add_roots(struct draft *d, const struct slice_root *roots,
                      uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        add_edge(d, roots[i].next, FLAT_NONE);
        add_edge(d, roots[i].first, FLAT_NONE);
    }
}

static void add_edges(struct draft *d)
{
    const struct slice *s = d->slice;

    vec_push(&d->start, 0);
    add_roots(d, s->watches, s->n_watches);
    add_roots(d, s->ends, s->n_ends);
    add_roots(d, s->assumptions, s->n_assumptions);
    for (uint32_t i = 0; i < s->n_cells; i++) {
        add_edge(d, s->cells[i].next, i);
        add_edge(d, s->cells[i].first, i);
    }
}

/* First come, first placed. */
static uint32_t place(struct draft *d, double *position)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < d->n_items; i++)
        position[i] = UNPLACED;
    for (size_t i = 0; i < d->at.n; i++)
        if (position[d->at.at[i]] < 0)
            position[d->at.at[i]] = n++;
    return n;
}

static double edge_middle(const struct draft *d, size_t edge,
                          const double *position)
{
    double sum = 0;

    for (uint32_t i = d->start.at[edge]; i < d->start.at[edge + 1]; i++)
        sum += position[d->at.at[i]];
    return sum / (d->start.at[edge + 1] - d->start.at[edge]);
}

static double total_span(const struct draft *d, const double *position)
{
    double total = 0;

    for (size_t e = 0; e + 1 < d->start.n; e++) {
        double low = d->n_items, high = 0;

        for (uint32_t i = d->start.at[e]; i < d->start.at[e + 1]; i++) {
            double p = position[d->at.at[i]];

            low = p < low ? p : low;
            high = p > high ? p : high;
        }
        total += high > low ? high - low : 0;
    }
    return total;
}

struct placed {
    double position;
    uint32_t item;
};

static int by_position(const void *a, const void *b)
{
    const struct placed *x = a, *y = b;

    if (x->position != y->position)
        return x->position < y->position ? -1 : 1;
    return (x->item > y->item) - (x->item < y->item);
}

static void sort(const struct draft *d, const double *position,
                 struct placed *list, uint32_t n)
{
    uint32_t k = 0;

    for (uint32_t i = 0; i < d->n_items; i++)
        if (position[i] >= 0)
            list[k++] = (struct placed){position[i], i};
    qsort(list, n, sizeof *list, by_position);
}

/* Every item to the mean of the middles of its edges, then whole places. */
static void pull(const struct draft *d, double *position,
                 struct placed *list, uint32_t n)
{
    memset(d->sum, 0, d->n_items * sizeof *d->sum);
    memset(d->edges, 0, d->n_items * sizeof *d->edges);
    for (size_t e = 0; e + 1 < d->start.n; e++) {
        double middle = edge_middle(d, e, position);

        for (uint32_t i = d->start.at[e]; i < d->start.at[e + 1]; i++) {
            d->sum[d->at.at[i]] += middle;
            d->edges[d->at.at[i]]++;
        }
    }
    for (uint32_t i = 0; i < d->n_items; i++)
        if (d->edges[i] > 0)
            position[i] = d->sum[i] / d->edges[i];
    sort(d, position, list, n);
    for (uint32_t i = 0; i < n; i++)
        position[list[i].item] = i;
}

/* The best of some rounds. */
static void settle(const struct draft *d, double *position,
                   struct placed *list, uint32_t n)
{
    size_t bytes = d->n_items * sizeof *position;
    double least = total_span(d, position);

    memcpy(d->best, position, bytes);
    for (int round = 0; round < ROUNDS; round++) {
        double span;

        pull(d, position, list, n);
        span = total_span(d, position);
        if (span >= least)
            continue;
        least = span;
        memcpy(d->best, position, bytes);
    }
    memcpy(position, d->best, bytes);
}

/* Does a cell read a small part of all there is on average? */
static bool is_sparse(const struct draft *d, uint32_t n)
{
    uint32_t n_cells = d->slice->n_cells;
    size_t edge = d->start.n - 1 - 2 * (size_t)n_cells;
    uint64_t read = 0;

    for (uint32_t i = 0; i < n_cells; i++, edge += 2)
        read += d->start.at[edge + 1] - d->start.at[edge];
    return read * 100 < (uint64_t)n * n_cells * SPARSE_PERCENT;
}

/* Items in the order of declaration; what a cell reads besides cells stands
 * before the first that reads it.  The edges of cells come last, two each. */
static void declare(const struct draft *d, double *position)
{
    uint32_t n_cells = d->slice->n_cells, n = 0;
    size_t edge = d->start.n - 1 - 2 * (size_t)n_cells;

    for (uint32_t i = 0; i < d->n_items; i++)
        d->best[i] = UNPLACED;
    for (uint32_t i = 0; i < n_cells; i++, edge += 2) {
        for (uint32_t k = d->start.at[edge]; k < d->start.at[edge + 2]; k++) {
            uint32_t item = d->at.at[k];

            if (item >= n_cells && d->best[item] < 0)
                d->best[item] = n++;
        }
        d->best[i] = n++;
    }
    for (uint32_t i = 0; i < d->n_items; i++) {
        if (position[i] >= 0 && d->best[i] < 0)
            d->best[i] = n++;
        position[i] = d->best[i];
    }
}

const uint32_t *order_find(struct arena *arena, const struct slice *slice,
                           uint32_t *n)
{
    struct draft d = {.slice = slice,
                      .n_items = slice->n_cells + slice->n_choices};
    double *position = arena_array(arena, d.n_items, sizeof *position);
    struct placed *list = arena_array(arena, d.n_items, sizeof *list);
    uint32_t *order = arena_array(arena, d.n_items, sizeof *order);

    d.seen = arena_array(arena, slice->n_nodes, sizeof *d.seen);
    d.sum = arena_array(arena, d.n_items, sizeof *d.sum);
    d.best = arena_array(arena, d.n_items, sizeof *d.best);
    d.edges = arena_array(arena, d.n_items, sizeof *d.edges);
    add_edges(&d);
    *n = place(&d, position);
    if (is_sparse(&d, *n))
        declare(&d, position);
    else
        settle(&d, position, list, *n);
    sort(&d, position, list, *n);
    for (uint32_t i = 0; i < *n; i++)
        order[i] = list[i].item;
    vec_release(&d.at);
    vec_release(&d.start);
    vec_release(&d.stack);
    return order;
}
