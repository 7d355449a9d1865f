#include "tests/bench/shape.h"

#include <stdlib.h>
#include <string.h>

flat_expr shape_root(const struct shape *shape, const struct slice_root *root)
{
    return shape->first ? root->first : root->next;
}

flat_expr shape_cell(const struct shape *shape, uint32_t cell)
{
    const struct slice_cell *at = &shape->slice->cells[cell];

    return shape->first ? at->first : at->next;
}

static void use(struct shape *shape, flat_expr node)
{
    shape->reached[node] = true;
    shape->uses[node]++;
}

static void use_roots(struct shape *shape, const struct slice_root *roots,
                      uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        use(shape, shape_root(shape, &roots[i]));
}

static bool is_leaf(const struct flat_node *node)
{
    return node->op == FLAT_CONST || node->op == FLAT_CELL ||
           node->op == FLAT_CHOICE || node->op == FLAT_HOLE;
}

/* Parents have larger numbers than their children. */
static void use_children(struct shape *shape)
{
    for (uint32_t i = shape->slice->n_nodes; i-- > 0;) {
        const struct flat_node *node = &shape->slice->nodes[i];

        if (!shape->reached[i] || is_leaf(node))
            continue;
        use(shape, node->a);
        if (node->op != FLAT_NOT)
            use(shape, node->b);
        if (node->op == FLAT_ITE)
            use(shape, node->c);
    }
}

static void take_reads(struct shape *shape, flat_expr into, flat_expr from)
{
    uint32_t n = shape->slice->n_choices;

    shape->on_choice[into] |= shape->on_choice[from];
    for (uint32_t r = 0; r < n; r++)
        shape->reads[(size_t)into * n + r] |=
            shape->reads[(size_t)from * n + r];
}

static void find_reads(struct shape *shape)
{
    for (uint32_t i = 0; i < shape->slice->n_nodes; i++) {
        const struct flat_node *node = &shape->slice->nodes[i];

        if (node->op == FLAT_CHOICE) {
            shape->on_choice[i] = true;
            shape->reads[(size_t)i * shape->slice->n_choices + node->a] = true;
        }
        if (is_leaf(node))
            continue;
        take_reads(shape, i, node->a);
        if (node->op != FLAT_NOT)
            take_reads(shape, i, node->b);
        if (node->op == FLAT_ITE)
            take_reads(shape, i, node->c);
    }
}

void shape_init(struct shape *shape, const struct slice *slice, bool first)
{
    size_t n = slice->n_nodes;

    shape->slice = slice;
    shape->first = first;
    shape->reached = calloc(n, sizeof *shape->reached);
    shape->on_choice = calloc(n, sizeof *shape->on_choice);
    shape->uses = calloc(n, sizeof *shape->uses);
    shape->reads = calloc(n, slice->n_choices + 1);
    use_roots(shape, slice->assumptions, slice->n_assumptions);
    use_roots(shape, slice->ends, slice->n_ends);
    use_roots(shape, slice->watches, slice->n_watches);
    for (uint32_t i = 0; i < slice->n_cells; i++)
        use(shape, shape_cell(shape, i));
    use_children(shape);
    find_reads(shape);
}

void shape_release(struct shape *shape)
{
    free(shape->reached);
    free(shape->on_choice);
    free(shape->uses);
    free(shape->reads);
}

bool shape_reads(const struct shape *shape, flat_expr node, uint32_t row)
{
    return shape->reads[(size_t)node * shape->slice->n_choices + row];
}

uint32_t bits_of(uint64_t most)
{
    return most == 0 ? 0 : 64 - (uint32_t)__builtin_clzll(most);
}

uint32_t shape_pack(const struct slice *slice, struct field *fields)
{
    uint32_t word = 0, used = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct slice_cell *cell = &slice->cells[i];
        struct field *f = &fields[i];

        f->most = ((uint64_t)cell->high - (uint64_t)cell->low) /
                  (uint64_t)cell->unit;
        f->bits = bits_of(f->most);
        if (used + f->bits > 63) {
            word++;
            used = 0;
        }
        f->word = word;
        f->shift = used;
        used += f->bits;
    }
    return word + 1;
}
