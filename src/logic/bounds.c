#include "logic/bounds.h"

#include <string.h>

#include "base/vec.h"
#include "logic/table.h"

/* A range that grew so often is given up to what is declared; a run that
 * takes so many rounds gives up all. */
enum { GROWTHS_MOST = 12, ROUNDS_MOST = 400 };

struct bounds {
    const struct flat_builder *table;
    const struct bounds_cells *cells;
    struct range *range;         /* per cell */
    VEC(struct range) node;      /* per node */
    VEC(flat_expr) order;        /* nodes that matter, ascending */
    VEC(uint32_t) growths;       /* per cell */
    VEC(char) grown;             /* per cell: in the last round */
    VEC(char) touched;           /* per node: its range is another one than
                                    in the round before; the last stands for
                                    FLAT_NONE */
};

static bool is_inner(const struct flat_node *node)
{
    return node->op > FLAT_HOLE;
}

static void list_order(struct bounds *b)
{
    const struct flat_node *nodes = b->table->nodes;
    VEC(char) wanted = {0};
    uint32_t n = b->table->n;

    vec_reserve(&wanted, (size_t)n + 1);
    memset(wanted.at, 0, (size_t)n + 1);
    for (uint32_t i = 0; i < b->cells->n; i++)
        wanted.at[b->cells->next[i]] = 1;
    for (uint32_t i = n; i-- > 0;) {
        if (!wanted.at[i] || !is_inner(&nodes[i]))
            continue;
        wanted.at[nodes[i].a] = 1;
        wanted.at[nodes[i].b == FLAT_NONE ? n : nodes[i].b] = 1;
        wanted.at[nodes[i].c == FLAT_NONE ? n : nodes[i].c] = 1;
    }
    for (uint32_t i = 0; i < n; i++)
        if (wanted.at[i])
            vec_push(&b->order, i);
    vec_release(&wanted);
}

static struct range of_child(const struct bounds *b, flat_expr expr)
{
    return expr == FLAT_NONE ? (struct range){0, 0} : b->node.at[expr];
}

static struct range of_node(const struct bounds *b, flat_expr expr)
{
    const struct flat_node *node = &b->table->nodes[expr];
    struct range own = {node->low, node->high}, found = own;

    if (node->op == FLAT_CELL)
        found = b->range[node->a];
    else if (is_inner(node))
        found = range_of(node->op, of_child(b, node->a),
                         of_child(b, node->b), of_child(b, node->c));
    range_meet(found, own, &own);
    return own;
}

/* A value outside of what is declared is never stored: a path ends at the
 * error before. */
static struct range storable(const struct bounds *b, uint32_t cell,
                             struct range range)
{
    struct range result = b->cells->declared[cell];

    range_meet(result, range, &result);
    return result;
}

static bool grow_cell(struct bounds *b, uint32_t cell)
{
    if (!b->touched.at[b->cells->next[cell]])
        return false;
    struct range old = b->range[cell];
    struct range new =
        range_join(old, storable(b, cell, b->node.at[b->cells->next[cell]]));

    if (new.low == old.low && new.high == old.high)
        return false;
    if (++b->growths.at[cell] > GROWTHS_MOST)
        new = b->cells->declared[cell];
    b->range[cell] = new;
    return true;
}

/* Does it read a range that is another one than in the round before? */
static bool is_touched(const struct bounds *b, flat_expr expr)
{
    const struct flat_node *node = &b->table->nodes[expr];
    const char *touched = b->touched.at;
    uint32_t n = b->table->n;

    if (node->op == FLAT_CELL)
        return b->grown.at[node->a];
    return is_inner(node) && (touched[node->a] ||
                              touched[node->b == FLAT_NONE ? n : node->b] ||
                              touched[node->c == FLAT_NONE ? n : node->c]);
}

static void look_again(struct bounds *b, flat_expr expr, bool all)
{
    struct range old = {0, 0}, new;

    b->touched.at[expr] = all || is_touched(b, expr);
    if (!b->touched.at[expr])
        return;
    new = of_node(b, expr);
    if (!all)
        old = b->node.at[expr];
    b->touched.at[expr] = all || old.low != new.low || old.high != new.high;
    b->node.at[expr] = new;
}

static bool grow_all(struct bounds *b, bool all)
{
    bool grown = false;

    for (size_t i = 0; i < b->order.n; i++)
        look_again(b, b->order.at[i], all);
    for (uint32_t i = 0; i < b->cells->n; i++) {
        b->grown.at[i] = grow_cell(b, i);
        grown = grown || b->grown.at[i];
    }
    return grown;
}

void bounds_find(const struct flat_builder *table,
                 const struct bounds_cells *cells, struct range *range)
{
    struct bounds b = {.table = table, .cells = cells, .range = range};
    int rounds = 0;

    vec_reserve(&b.node, (size_t)table->n + 1);
    vec_reserve(&b.touched, (size_t)table->n + 1);
    memset(b.touched.at, 0, (size_t)table->n + 1);
    list_order(&b);
    for (uint32_t i = 0; i < cells->n; i++) {
        vec_push(&b.growths, 0);
        vec_push(&b.grown, 1);
        range[i] = storable(&b, i, table_range(table, cells->first[i]));
    }
    while (grow_all(&b, rounds == 0) && rounds < ROUNDS_MOST)
        rounds++;
    if (rounds == ROUNDS_MOST)
        for (uint32_t i = 0; i < cells->n; i++)
            range[i] = cells->declared[i];
    vec_release(&b.node);
    vec_release(&b.order);
    vec_release(&b.growths);
    vec_release(&b.grown);
    vec_release(&b.touched);
}
