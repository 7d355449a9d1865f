#include "logic/saturate.h"

#include <string.h>

#include "base/arena.h"
#include "logic/operands.h"

/* One cell looked at. */
struct counter {
    const struct slice *slice;
    uint32_t cell;
    bool *counts;   /* per node: in some branch it is the cell's value, moved
                       up */
    bool *large;    /* per node: no smaller than the cell's value, or than
                       all that it stores */
    int64_t *rise;  /* per node that counts: moved by that at least */
    bool *matters;  /* per node: its value does, where the cell is above the
                       cut, too */
    bool plain;     /* nothing was met that looks at the number itself */
    int64_t cut;    /* from here on all comparisons come out the same */
};

static const struct flat_node *node_at(const struct counter *c,
                                       flat_expr expr)
{
    return &c->slice->nodes[expr];
}

/* ---- which nodes are the value, moved up ---- */

/* The sum of one that counts and of something. */
static void note_sum(struct counter *c, flat_expr expr, flat_expr from,
                     flat_expr by, bool minus)
{
    const struct flat_node *step = node_at(c, by);
    bool left = minus ? __builtin_sub_overflow(c->rise[from], step->high,
                                               &c->rise[expr])
                      : __builtin_add_overflow(c->rise[from], step->low,
                                               &c->rise[expr]);

    c->counts[expr] = true;
    if (left)
        c->rise[expr] = INT64_MIN;
    c->large[expr] = c->large[from] && c->rise[expr] >= 0;
}

static void note_choice(struct counter *c, flat_expr expr,
                        const struct flat_node *node)
{
    const flat_expr branch[2] = {node->b, node->c};

    c->counts[expr] = c->counts[node->b] || c->counts[node->c];
    c->large[expr] = c->large[node->b] && c->large[node->c];
    c->rise[expr] = INT64_MAX;
    for (int i = 0; i < 2; i++)
        if ((c->counts[branch[i]] || c->large[branch[i]]) &&
            c->rise[branch[i]] < c->rise[expr])
            c->rise[expr] = c->rise[branch[i]];
}

static void note(struct counter *c, flat_expr expr)
{
    const struct flat_node *node = node_at(c, expr);
    int64_t high = c->slice->cells[c->cell].high;

    c->counts[expr] = node->op == FLAT_CELL && node->a == c->cell;
    c->large[expr] = c->counts[expr] ||
                     (node->op == FLAT_CONST && node->value >= high);
    c->rise[expr] = 0;
    c->matters[expr] = false;
    if (node->op == FLAT_ADD && c->counts[node->a])
        note_sum(c, expr, node->a, node->b, false);
    else if (node->op == FLAT_ADD && c->counts[node->b])
        note_sum(c, expr, node->b, node->a, false);
    else if (node->op == FLAT_SUB && c->counts[node->a])
        note_sum(c, expr, node->a, node->b, true);
    else if (node->op == FLAT_ITE)
        note_choice(c, expr, node);
}

/* ---- what matters above the cut ---- */

static void matter_roots(struct counter *c, const struct slice_root *roots,
                         uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        c->matters[roots[i].first] = c->matters[roots[i].next] = true;
        if (c->counts[roots[i].first] || c->counts[roots[i].next])
            c->plain = false;
    }
}

/* In no other cell it is stored, and in its own only moved up. */
static void matter_cells(struct counter *c)
{
    for (uint32_t i = 0; i < c->slice->n_cells; i++) {
        const struct slice_cell *cell = &c->slice->cells[i];
        flat_expr next = i == c->cell ? cell->uncut : cell->next;

        c->matters[cell->first] = c->matters[next] = true;
        if (c->counts[next] && (i != c->cell || c->rise[next] < 0))
            c->plain = false;
    }
}

/* Between two values that are both above the cut it does not matter which is
 * taken. */
static void pass_on(struct counter *c, flat_expr expr)
{
    const struct flat_node *node = node_at(c, expr);
    flat_expr operand[3];
    uint32_t n = operands_of(node, operand);

    if (!c->matters[expr])
        return;
    for (uint32_t i = 0; i < n; i++)
        if (i > 0 || node->op != FLAT_ITE || !c->counts[expr] ||
            !c->large[expr])
            c->matters[operand[i]] = true;
}

/* ---- who looks at it, and how far ---- */

/* expr < K and K <= expr come out the same from K on, the others from K + 1
 * on. */
static void look_at(struct counter *c, flat_expr expr, flat_expr other,
                    bool from_next)
{
    const struct flat_node *constant = node_at(c, other);
    int64_t cut;

    if (constant->op != FLAT_CONST ||
        __builtin_sub_overflow(constant->value, c->rise[expr], &cut) ||
        __builtin_add_overflow(cut, (int)from_next, &cut))
        c->plain = false;
    else if (cut > c->cut)
        c->cut = cut;
}

static void weigh(struct counter *c, flat_expr expr)
{
    const struct flat_node *node = node_at(c, expr);
    flat_expr operand[3];
    uint32_t n = operands_of(node, operand), counting = 0;

    for (uint32_t i = 0; i < n; i++)
        counting += c->counts[operand[i]];
    if (!c->matters[expr] || counting == 0)
        return;
    switch (node->op) {
    case FLAT_EQ: case FLAT_LT: case FLAT_LE:
        if (c->counts[node->a])
            look_at(c, node->a, node->b, node->op != FLAT_LT);
        else
            look_at(c, node->b, node->a, node->op != FLAT_LE);
        break;
    case FLAT_ADD:
        c->plain = c->plain && counting == 1;
        break;
    case FLAT_SUB:
        c->plain = c->plain && counting == 1 && c->counts[node->a];
        break;
    case FLAT_ITE:
        c->plain = c->plain && !c->counts[node->a];
        break;
    default:
        c->plain = false;
        break;
    }
}

/* Where the cell can stand still; its high where it cannot. */
static int64_t cut_of(struct counter *c)
{
    const struct slice *s = c->slice;
    const struct slice_cell *cell = &s->cells[c->cell];
    int64_t over;

    c->plain = true;
    c->cut = cell->low + 1;
    for (uint32_t i = 0; i < s->n_nodes; i++)
        note(c, i);
    matter_cells(c);
    matter_roots(c, s->assumptions, s->n_assumptions);
    matter_roots(c, s->ends, s->n_ends);
    matter_roots(c, s->watches, s->n_watches);
    matter_roots(c, s->values, s->n_values);
    matter_roots(c, s->motions, s->n_motions);
    for (uint32_t i = s->n_nodes; i-- > 0 && c->plain;)
        pass_on(c, i);
    for (uint32_t i = 0; i < s->n_nodes && c->plain; i++)
        weigh(c, i);
    if (!c->plain || !c->counts[cell->uncut])
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
    cell->next = cell->uncut = at_most(c, cell->uncut, cut);
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
    c.large = arena_array(scratch, slice->n_nodes + 1, sizeof *c.large);
    c.matters = arena_array(scratch, slice->n_nodes + 1, sizeof *c.matters);
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
