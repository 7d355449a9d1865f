#include "logic/saturate.h"

#include <string.h>

#include "base/arena.h"
#include "logic/operands.h"

/* One cell looked at: which nodes are its value moved up by something, and
 * how far everybody looks. */
struct counter {
    const struct slice *slice;
    uint32_t cell;
    bool *counts;  /* per node: in some branch it is the cell's value, moved */
    int64_t *rise; /* per node that counts: moved by that at least */
    bool plain;    /* nothing else was met */
    int64_t cut;   /* from here on all comparisons come out the same */
};

static const struct flat_node *node_at(const struct counter *c,
                                       flat_expr expr)
{
    return &c->slice->nodes[expr];
}

/* From which value of the cell on is expr, which counts, above the
 * constant? */
static void look_at(struct counter *c, flat_expr expr, flat_expr other)
{
    const struct flat_node *constant = node_at(c, other);
    int64_t cut;

    if (c->counts[other] || constant->op != FLAT_CONST ||
        __builtin_sub_overflow(constant->value, c->rise[expr], &cut) ||
        __builtin_add_overflow(cut, 1, &cut)) {
        c->plain = false;
        return;
    }
    if (cut > c->cut)
        c->cut = cut;
}

static void compared(struct counter *c, const struct flat_node *node)
{
    if (c->counts[node->a])
        look_at(c, node->a, node->b);
    else if (c->counts[node->b])
        look_at(c, node->b, node->a);
}

/* expr is the sum of one that counts and one that does not. */
static void added(struct counter *c, flat_expr expr, flat_expr from,
                  flat_expr by, bool minus)
{
    const struct flat_node *step = node_at(c, by);
    int64_t least = minus ? step->high : step->low;
    bool left = minus ? __builtin_sub_overflow(c->rise[from], least,
                                               &c->rise[expr])
                      : __builtin_add_overflow(c->rise[from], least,
                                               &c->rise[expr]);

    c->counts[expr] = true;
    if (left || c->counts[by])
        c->plain = false;
}

static void chosen(struct counter *c, flat_expr expr,
                   const struct flat_node *node)
{
    bool b = c->counts[node->b], other = c->counts[node->c];

    if (c->counts[node->a])
        c->plain = false;
    if (!b && !other)
        return;
    c->counts[expr] = true;
    c->rise[expr] = b ? c->rise[node->b] : c->rise[node->c];
    if (b && other && c->rise[node->c] < c->rise[expr])
        c->rise[expr] = c->rise[node->c];
}

static bool reads_count(const struct counter *c,
                        const struct flat_node *node)
{
    flat_expr operand[3];
    uint32_t n = operands_of(node, operand);

    for (uint32_t i = 0; i < n; i++)
        if (c->counts[operand[i]])
            return true;
    return false;
}

static void weigh(struct counter *c, flat_expr expr)
{
    const struct flat_node *node = node_at(c, expr);

    c->counts[expr] = node->op == FLAT_CELL && node->a == c->cell;
    c->rise[expr] = 0;
    if (!reads_count(c, node))
        return;
    switch (node->op) {
    case FLAT_EQ: case FLAT_LT: case FLAT_LE:
        compared(c, node);
        break;
    case FLAT_ADD:
        if (c->counts[node->a])
            added(c, expr, node->a, node->b, false);
        else
            added(c, expr, node->b, node->a, false);
        break;
    case FLAT_SUB:
        if (c->counts[node->a])
            added(c, expr, node->a, node->b, true);
        else
            c->plain = false;
        break;
    case FLAT_ITE:
        chosen(c, expr, node);
        break;
    default:
        c->plain = false;
        break;
    }
}

static bool counted_root(const struct counter *c,
                         const struct slice_root *roots, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if (c->counts[roots[i].first] || c->counts[roots[i].next])
            return true;
    return false;
}

/* It is stored in no other cell, only moved up in its own, and nobody takes
 * its value as it is. */
static bool stays_inside(const struct counter *c)
{
    const struct slice *s = c->slice;

    for (uint32_t i = 0; i < s->n_cells; i++) {
        flat_expr next = s->cells[i].next;

        if (c->counts[next] && (i != c->cell || c->rise[next] < 0))
            return false;
    }
    return !counted_root(c, s->assumptions, s->n_assumptions) &&
           !counted_root(c, s->ends, s->n_ends) &&
           !counted_root(c, s->watches, s->n_watches) &&
           !counted_root(c, s->values, s->n_values) &&
           !counted_root(c, s->motions, s->n_motions);
}

/* Where the cell can stand still; its high where it cannot. */
static int64_t cut_of(struct counter *c)
{
    const struct slice_cell *cell = &c->slice->cells[c->cell];
    int64_t over;

    c->plain = true;
    c->cut = cell->low + 1;
    for (uint32_t i = 0; i < c->slice->n_nodes && c->plain; i++)
        weigh(c, i);
    if (!c->plain || !c->counts[cell->next] || !stays_inside(c))
        return cell->high;
    over = c->cut % cell->unit;
    if (over != 0 &&
        __builtin_add_overflow(c->cut, over < 0 ? -over : cell->unit - over,
                               &c->cut))
        return cell->high;
    return c->cut < cell->high ? c->cut : cell->high;
}

/* ---- the slice of it ---- */

struct cutting {
    struct slice *made;
    struct flat_node *nodes;
    struct slice_cell *cells;
};

static flat_expr put(struct cutting *c, struct flat_node node)
{
    c->nodes[c->made->n_nodes] = node;
    return c->made->n_nodes++;
}

/* The smaller of both. */
static flat_expr at_most(struct cutting *c, flat_expr expr, flat_expr cut)
{
    int64_t most = c->nodes[cut].value;
    int64_t low = c->nodes[expr].low, high = c->nodes[expr].high;
    flat_expr above;

    if (high <= most)
        return expr;
    above = put(c, (struct flat_node){FLAT_LT, cut, expr, FLAT_NONE, 0,
                                      low > most, 1});
    return put(c, (struct flat_node){FLAT_ITE, above, cut, expr, 0,
                                     low < most ? low : most, most});
}

static void cut_cell(struct cutting *c, uint32_t at, int64_t most)
{
    struct slice_cell *cell = &c->cells[at];
    flat_expr cut = put(c, (struct flat_node){FLAT_CONST, FLAT_NONE,
                                              FLAT_NONE, FLAT_NONE, most,
                                              most, most});

    cell->high = most;
    c->nodes[cell->node].high = most;
    cell->first = at_most(c, cell->first, cut);
    cell->next = at_most(c, cell->next, cut);
}

static const struct slice *cut_all(struct arena *arena,
                                   const struct slice *slice,
                                   const int64_t *most)
{
    struct cutting c = {.made = ARENA_NEW(arena, struct slice)};

    *c.made = *slice;
    c.nodes = arena_array(arena, slice->n_nodes + 5 * (size_t)slice->n_cells,
                          sizeof *c.nodes);
    memcpy(c.nodes, slice->nodes, slice->n_nodes * sizeof *c.nodes);
    c.cells = arena_array(arena, slice->n_cells, sizeof *c.cells);
    memcpy(c.cells, slice->cells, slice->n_cells * sizeof *c.cells);
    for (uint32_t i = 0; i < slice->n_cells; i++)
        if (most[i] < c.cells[i].high) {
            cut_cell(&c, i, most[i]);
            c.made->n_cut++;
        }
    c.made->nodes = c.nodes;
    c.made->cells = c.cells;
    return c.made;
}

const struct slice *saturate(struct arena *arena, const struct slice *slice,
                             const bool *may)
{
    struct arena *scratch = arena_new();
    struct counter c = {.slice = slice};
    int64_t *most = arena_array(scratch, slice->n_cells + 1, sizeof *most);
    bool any = false;

    c.counts = arena_array(scratch, slice->n_nodes + 1, sizeof *c.counts);
    c.rise = arena_array(scratch, slice->n_nodes + 1, sizeof *c.rise);
    for (uint32_t i = 0; i < slice->n_cells; i++) {
        c.cell = i;
        most[i] = slice->cells[i].high;
        /* Where two values are left there is nothing to gain. */
        if (may[slice->cells[i].cell] && most[i] - slice->cells[i].low > 1)
            most[i] = cut_of(&c);
        any = any || most[i] < slice->cells[i].high;
    }
    if (any)
        slice = cut_all(arena, slice, most);
    arena_free(scratch);
    return slice;
}
