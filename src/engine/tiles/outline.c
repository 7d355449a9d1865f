#include "engine/tiles/outline.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"

/* The choices of the slice and one more for each tile bit.  A tile bit is
 * no input: assumptions must fit for each of its values. */
static const struct flat_choice *with_bits(struct arena *arena,
                                           const struct slice *slice,
                                           const struct tile_bits *bits)
{
    struct flat_choice *all = arena_array(
        arena, (size_t)slice->n_choices + bits->n, sizeof *all);

    for (uint32_t i = 0; i < slice->n_choices; i++)
        all[i] = slice->choices[i];
    for (uint32_t t = 0; t < bits->n; t++) {
        const struct slice_cell *cell = &slice->cells[bits->cell[t]];
        int64_t *values = arena_array(arena, 2, sizeof *values);

        values[0] = cell->low;
        values[1] = cell->low + cell->unit;
        all[slice->n_choices + t] = (struct flat_choice){
            FLAT_POWER, 2, values, 0, "stored bit", 0};
    }
    return all;
}

static struct flat_node constant(int64_t value)
{
    return (struct flat_node){FLAT_CONST, FLAT_NONE, FLAT_NONE, FLAT_NONE,
                              value,      value,     value};
}

static void change_node(const struct scan_form *f, const uint32_t *fixed,
                        struct flat_node *node)
{
    const struct slice *s = f->slice;

    if (node->op == FLAT_CHOICE && fixed && fixed[node->a] != FLAT_NONE) {
        ENSURE(fixed[node->a] < s->choices[node->a].count);
        *node = constant(s->choices[node->a].values[fixed[node->a]]);
    } else if (node->op == FLAT_CELL &&
               f->bits->of[node->a] != FLAT_NONE) {
        node->op = FLAT_CHOICE;
        node->a = s->n_choices + f->bits->of[node->a];
    }
}

struct scan_form *outline_new(struct arena *arena, const struct slice *slice,
                           bool first, const struct tile_bits *bits,
                           const uint32_t *fixed)
{
    struct scan_form *f = ARENA_NEW(arena, struct scan_form);
    struct flat_node *nodes =
        arena_array(arena, slice->n_nodes, sizeof *nodes);
    uint32_t *mark_of;

    f->first = first;
    f->slice = slice;
    f->bits = bits;
    f->n_rows = slice->n_choices + bits->n;
    f->choices = with_bits(arena, slice, bits);
    for (uint32_t i = 0; i < slice->n_nodes; i++) {
        nodes[i] = slice->nodes[i];
        change_node(f, fixed, &nodes[i]);
    }
    f->nodes = nodes;
    f->n_items = f->n_rows + slice->n_cells;
    mark_of = arena_array(arena, slice->n_nodes, sizeof *mark_of);
    for (uint32_t i = 0; i < slice->n_nodes; i++)
        mark_of[i] = FLAT_NONE;
    f->mark_of = mark_of;
    return f;
}

/* ---- reading ---- */

static bool is_mark(const struct scan_form *f, flat_expr node,
                    const bool *open)
{
    uint32_t mark = f->mark_of[node];

    return mark != FLAT_NONE && !open[mark];
}

static bool is_leaf(const struct scan_form *f, flat_expr node,
                    const bool *open)
{
    const struct flat_node *at = &f->nodes[node];

    return at->op <= FLAT_HOLE || at->low == at->high ||
           is_mark(f, node, open);
}

static void reach_children(const struct flat_node *node, uint8_t *reached)
{
    if (node->a != FLAT_NONE)
        reached[node->a] = 1;
    if (node->b != FLAT_NONE)
        reached[node->b] = 1;
    if (node->c != FLAT_NONE)
        reached[node->c] = 1;
}

/* Parents have larger numbers, so one way down meets everything. */
static void reach_all(const struct scan_form *f, const bool *open,
                      uint8_t *reached)
{
    for (uint32_t i = f->slice->n_nodes; i-- > 0;)
        if (reached[i] && !is_leaf(f, i, open))
            reach_children(&f->nodes[i], reached);
}

void outline_reads(const struct scan_form *f, flat_expr root, const bool *open,
                uint8_t *reads)
{
    struct arena *scratch = arena_new();
    uint8_t *reached = arena_array(scratch, f->slice->n_nodes, 1);

    reached[root] = 1;
    reach_all(f, open, reached);
    for (uint32_t i = 0; i <= root; i++) {
        const struct flat_node *node = &f->nodes[i];

        if (!reached[i] || node->low == node->high)
            continue;
        if (is_mark(f, i, open))
            reads[outline_mark_item(f, f->mark_of[i])] = 1;
        else if (node->op == FLAT_CHOICE)
            reads[node->a] = 1;
        else if (node->op == FLAT_CELL)
            reads[outline_cell_item(f, node->a)] = 1;
    }
    arena_free(scratch);
}

static struct flat_node extracted(const struct scan_form *f, uint32_t i,
                                  const bool *open, const flat_expr *number)
{
    struct flat_node node = f->nodes[i];

    if (node.low == node.high)
        return constant(node.op == FLAT_CONST ? node.value : node.low);
    if (is_mark(f, i, open)) {
        node.op = FLAT_CELL;
        node.a = f->slice->n_cells + f->mark_of[i];
        node.b = node.c = FLAT_NONE;
    } else if (node.op > FLAT_HOLE) {
        node.a = number[node.a];
        node.b = node.b == FLAT_NONE ? FLAT_NONE : number[node.b];
        node.c = node.c == FLAT_NONE ? FLAT_NONE : number[node.c];
    }
    return node;
}

struct slice outline_extract(struct arena *arena, const struct scan_form *f,
                          flat_expr *roots, uint32_t n, const bool *open)
{
    struct arena *scratch = arena_new();
    uint32_t n_nodes = f->slice->n_nodes;
    uint8_t *reached = arena_array(scratch, n_nodes, 1);
    flat_expr *number = arena_array(scratch, n_nodes, sizeof *number);
    struct slice part = {.choices = f->choices, .n_choices = f->n_rows};
    struct flat_node *nodes;

    for (uint32_t i = 0; i < n; i++)
        reached[roots[i]] = 1;
    reach_all(f, open, reached);
    for (uint32_t i = 0; i < n_nodes; i++)
        if (reached[i])
            number[i] = part.n_nodes++;
    nodes = arena_array(arena, part.n_nodes, sizeof *nodes);
    for (uint32_t i = 0; i < n_nodes; i++)
        if (reached[i])
            nodes[number[i]] = extracted(f, i, open, number);
    for (uint32_t i = 0; i < n; i++)
        roots[i] = number[roots[i]];
    part.nodes = nodes;
    arena_free(scratch);
    return part;
}

/* ---- items ---- */

static uint32_t bits_for(uint64_t most)
{
    return most == 0 ? 0 : 64 - (uint32_t)__builtin_clzll(most);
}

uint32_t outline_width(const struct scan_form *f, uint32_t item)
{
    const struct flat_node *node;
    const struct slice_cell *cell;

    if (item < f->slice->n_choices)
        return bits_for(f->choices[item].count);
    if (item < f->n_rows)
        return 0; /* carried in the bitmap */
    item -= f->n_rows;
    if (item < f->slice->n_cells) {
        cell = &f->slice->cells[item];
        return bits_for(((uint64_t)cell->high - (uint64_t)cell->low) /
                        (uint64_t)cell->unit);
    }
    node = &f->nodes[f->mark[item - f->slice->n_cells]];
    return bits_for((uint64_t)node->high - (uint64_t)node->low);
}

uint32_t outline_cell_item(const struct scan_form *f, uint32_t cell)
{
    return f->n_rows + cell;
}

uint32_t outline_mark_item(const struct scan_form *f, uint32_t mark)
{
    return f->n_rows + f->slice->n_cells + mark;
}

flat_expr outline_root(const struct scan_form *f, const struct slice_root *root)
{
    return f->first ? root->first : root->next;
}

flat_expr outline_next(const struct scan_form *f, uint32_t cell)
{
    const struct slice_cell *at = &f->slice->cells[cell];

    return f->first ? at->first : at->next;
}
