#include "engine/concrete/plan.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "logic/operands.h"

struct draft {
    struct arena *arena;
    const struct slice *slice;
    struct plan *plan;
    uint32_t *number; /* slice node -> plan node; FLAT_NONE: not read */
};

bool plan_is_input(enum flat_kind kind)
{
    return kind == FLAT_OPERATOR || kind == FLAT_INPUT ||
           kind == FLAT_SHARED;
}

uint32_t plan_rest(const struct flat_choice *choice)
{
    return plan_is_input(choice->kind) ? choice->rest : 0;
}

uint32_t plan_place(const struct flat_choice *choice, uint32_t index)
{
    if (!plan_is_input(choice->kind) || index > choice->rest)
        return index;
    return index == choice->rest ? 0 : index + 1;
}

/* Roots keep the slice's numbers until all of them are known. */
static struct plan_roots take_roots(struct draft *d,
                                    const struct slice_root *roots,
                                    uint32_t n)
{
    uint32_t *at = arena_array(d->arena, n, sizeof *at);

    for (uint32_t i = 0; i < n; i++) {
        at[i] = d->plan->first ? roots[i].first : roots[i].next;
        ENSURE(at[i] < d->slice->n_nodes);
        d->number[at[i]] = 0;
    }
    return (struct plan_roots){at, n};
}

static struct plan_roots take_cells(struct draft *d)
{
    const struct slice *s = d->slice;
    uint32_t *at = arena_array(d->arena, s->n_cells, sizeof *at);

    for (uint32_t i = 0; i < s->n_cells; i++) {
        at[i] = d->plan->first ? s->cells[i].first : s->cells[i].next;
        ENSURE(at[i] < s->n_nodes);
        d->number[at[i]] = 0;
    }
    return (struct plan_roots){at, s->n_cells};
}

static void take_all(struct draft *d, unsigned parts)
{
    const struct slice *s = d->slice;
    struct plan *p = d->plan;

    p->assumptions = take_roots(d, s->assumptions, s->n_assumptions);
    p->ends = take_roots(d, s->ends, s->n_ends);
    p->watches = take_roots(d, s->watches, s->n_watches);
    p->cells = take_cells(d);
    if (parts & PLAN_VALUES)
        p->values = take_roots(d, s->values, s->n_values);
    if (parts & PLAN_MOTIONS)
        p->motions = take_roots(d, s->motions, s->n_motions);
}

static void renumber_roots(struct draft *d, struct plan_roots *roots)
{
    uint32_t *at = arena_array(d->arena, roots->n, sizeof *at);

    for (uint32_t i = 0; i < roots->n; i++)
        at[i] = d->number[roots->at[i]];
    roots->at = at;
}

/* Parents have larger numbers: going down, a node is decided before its
 * children are reached. */
static void mark_read(struct draft *d)
{
    for (uint32_t i = d->slice->n_nodes; i-- > 0;) {
        const struct flat_node *node = &d->slice->nodes[i];
        flat_expr child[3] = {node->a, node->b, node->c};

        if (d->number[i] == FLAT_NONE)
            continue;
        ENSURE(node->op != FLAT_HOLE);
        for (unsigned k = 0; k < operands_count(node->op); k++) {
            ENSURE(child[k] < i);
            d->number[child[k]] = 0;
        }
    }
}

static uint32_t number_nodes(struct draft *d)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < d->slice->n_nodes; i++)
        if (d->number[i] != FLAT_NONE)
            d->number[i] = n++;
    return n;
}

static struct plan_node renumbered(const struct draft *d,
                                   const struct flat_node *node)
{
    struct plan_node made = {node->a, node->b, node->c, node->op};
    unsigned n = operands_count(node->op);

    if (n > 0)
        made.a = d->number[node->a];
    if (n > 1)
        made.b = d->number[node->b];
    if (n > 2)
        made.c = d->number[node->c];
    return made;
}

/* What a node reads follows from what its children read. */
static void find_reads(struct draft *d, bool *cell, bool *other)
{
    const struct plan *p = d->plan;

    for (uint32_t i = 0; i < p->n_nodes; i++) {
        const struct plan_node *node = &p->nodes[i];
        uint32_t child[3] = {node->a, node->b, node->c};

        if (node->op == FLAT_CELL)
            cell[i] = true;
        if (node->op == FLAT_CHOICE)
            other[i] = !plan_is_input(p->choices[node->a].kind);
        for (unsigned k = 0; k < operands_count(node->op); k++) {
            cell[i] |= cell[child[k]];
            other[i] |= other[child[k]];
        }
    }
}

static void copy_nodes(struct draft *d)
{
    struct plan *p = d->plan;
    struct plan_node *nodes =
        arena_array(d->arena, p->n_nodes, sizeof *nodes);
    int64_t *low = arena_array(d->arena, p->n_nodes, sizeof *low);
    int64_t *high = arena_array(d->arena, p->n_nodes, sizeof *high);
    bool *cell = arena_array(d->arena, p->n_nodes, sizeof *cell);
    bool *other = arena_array(d->arena, p->n_nodes, sizeof *other);

    for (uint32_t i = 0; i < d->slice->n_nodes; i++) {
        const struct flat_node *node = &d->slice->nodes[i];
        uint32_t to = d->number[i];
        bool constant = node->op == FLAT_CONST;

        if (to == FLAT_NONE)
            continue;
        nodes[to] = renumbered(d, node);
        low[to] = constant ? node->value : node->low;
        high[to] = constant ? node->value : node->high;
    }
    p->nodes = nodes;
    p->low = low;
    p->high = high;
    p->reads_cell = cell;
    p->reads_other = other;
    find_reads(d, cell, other);
}

/* A child that is named twice gets its parent once. */
static unsigned distinct(const struct plan_node *node, uint32_t child[3])
{
    unsigned n = operands_count(node->op), kept = 0;
    uint32_t all[3] = {node->a, node->b, node->c};

    for (unsigned k = 0; k < n; k++) {
        bool again = false;

        for (unsigned j = 0; j < kept; j++)
            again |= child[j] == all[k];
        if (!again)
            child[kept++] = all[k];
    }
    return kept;
}

/* Two passes: count, then fill; start[i + 1] runs ahead and ends right. */
static void find_parents(struct draft *d)
{
    struct plan *p = d->plan;
    uint32_t *start =
        arena_array(d->arena, (size_t)p->n_nodes + 2, sizeof *start);
    uint32_t *out, child[3];

    for (uint32_t i = 0; i < p->n_nodes; i++)
        for (unsigned k = distinct(&p->nodes[i], child); k-- > 0;)
            start[child[k] + 2]++;
    for (uint32_t i = 0; i < p->n_nodes; i++)
        start[i + 2] += start[i + 1];
    out = arena_array(d->arena, start[p->n_nodes + 1], sizeof *out);
    for (uint32_t i = 0; i < p->n_nodes; i++)
        for (unsigned k = distinct(&p->nodes[i], child); k-- > 0;)
            out[start[child[k] + 1]++] = i;
    p->out_start = start;
    p->out = out;
}

static void find_choice_leaves(struct draft *d)
{
    struct plan *p = d->plan;
    uint32_t *start =
        arena_array(d->arena, (size_t)p->n_choices + 2, sizeof *start);
    uint32_t *leaf;

    for (uint32_t i = 0; i < p->n_nodes; i++)
        if (p->nodes[i].op == FLAT_CHOICE) {
            ENSURE(p->nodes[i].a < p->n_choices &&
                   p->choices[p->nodes[i].a].count > 0);
            start[p->nodes[i].a + 2]++;
        }
    for (uint32_t i = 0; i < p->n_choices; i++)
        start[i + 2] += start[i + 1];
    leaf = arena_array(d->arena, start[p->n_choices + 1], sizeof *leaf);
    for (uint32_t i = 0; i < p->n_nodes; i++)
        if (p->nodes[i].op == FLAT_CHOICE)
            leaf[start[p->nodes[i].a + 1]++] = i;
    p->row_start = start;
    p->row_leaf = leaf;
}

static void find_cell_leaves(struct draft *d)
{
    struct plan *p = d->plan;
    uint32_t *at = arena_array(d->arena, p->n_nodes, sizeof *at);
    uint32_t n = 0;

    for (uint32_t i = 0; i < p->n_nodes; i++)
        if (p->nodes[i].op == FLAT_CELL) {
            /* nothing was stored before the first scan */
            ENSURE(!p->first);
            at[n++] = i;
        }
    p->cell_leaves = (struct plan_roots){at, n};
}

const struct plan *plan_new(struct arena *arena, const struct slice *slice,
                            bool first, unsigned parts)
{
    struct plan *p = ARENA_NEW(arena, struct plan);
    struct draft d = {arena, slice, p, NULL};

    p->first = first;
    p->choices = slice->choices;
    p->n_choices = slice->n_choices;
    d.number = arena_array(arena, slice->n_nodes, sizeof *d.number);
    for (uint32_t i = 0; i < slice->n_nodes; i++)
        d.number[i] = FLAT_NONE;
    take_all(&d, parts);
    mark_read(&d);
    p->n_nodes = number_nodes(&d);
    copy_nodes(&d);
    renumber_roots(&d, &p->assumptions);
    renumber_roots(&d, &p->ends);
    renumber_roots(&d, &p->watches);
    renumber_roots(&d, &p->cells);
    renumber_roots(&d, &p->values);
    renumber_roots(&d, &p->motions);
    find_parents(&d);
    find_choice_leaves(&d);
    find_cell_leaves(&d);
    return p;
}
