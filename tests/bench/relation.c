#include "tests/bench/relation.h"

#include <stdlib.h>

#include "tests/bench/shape.h"
#include "tests/bench/many.h"
#include "tests/bench/order.h"

struct build {
    const struct order *order;
    const struct slice *slice;
    struct shape shape;
    struct many *at; /* per node */
};

/* Number `code` in variables place[0] (highest bit) to place[n - 1] + add. */
static BDD pattern(const uint32_t *place, uint32_t n, uint32_t add,
                   uint64_t code)
{
    BDD all = bdd_true();

    for (uint32_t b = n; b-- > 0;) {
        int var = (int)(place[b] + add);

        own(&all, bdd_and(all, code >> (n - 1 - b) & 1 ? bdd_ithvar(var)
                                                       : bdd_nithvar(var)));
    }
    return all;
}

static struct many cell_leaf(const struct build *w, uint32_t cell)
{
    const struct slice_cell *c = &w->slice->cells[cell];
    uint32_t n = (uint32_t)((c->high - c->low) / c->unit) + 1;
    int64_t *value = calloc(n, sizeof *value);
    BDD *at = calloc(n, sizeof *at);

    for (uint32_t i = 0; i < n; i++) {
        value[i] = c->low + c->unit * i;
        at[i] = pattern(w->order->now[cell], w->order->cell_bits[cell], 0, i);
    }
    return many_of(n, value, at);
}

static struct many choice_leaf(const struct build *w, uint32_t row)
{
    const struct flat_choice *c = &w->slice->choices[row];
    int64_t *value = calloc(c->count, sizeof *value);
    BDD *at = calloc(c->count, sizeof *at);

    for (uint32_t i = 0; i < c->count; i++) {
        value[i] = c->values[i];
        at[i] = pattern(w->order->choice[row], w->order->choice_bits[row], 0,
                        i);
    }
    return many_of(c->count, value, at);
}

static void build_nodes(struct build *w)
{
    for (uint32_t i = 0; i < w->slice->n_nodes; i++) {
        const struct flat_node *node = &w->slice->nodes[i];

        if (!w->shape.reached[i])
            continue;
        if (node->op == FLAT_CONST)
            w->at[i] = many_constant(node->value);
        else if (node->op == FLAT_CELL)
            w->at[i] = cell_leaf(w, node->a);
        else if (node->op == FLAT_CHOICE)
            w->at[i] = choice_leaf(w, node->a);
        else
            w->at[i] = many_apply(node->op, &w->at[node->a],
                                  node->b == FLAT_NONE ? NULL
                                                       : &w->at[node->b],
                                  node->c == FLAT_NONE ? NULL
                                                       : &w->at[node->c]);
    }
}

static void release_nodes(struct build *w)
{
    for (uint32_t i = 0; i < w->slice->n_nodes; i++) {
        for (uint32_t v = 0; v < w->at[i].n; v++)
            bdd_delref(w->at[i].at[v]);
        free(w->at[i].value);
        free(w->at[i].at);
    }
    free(w->at);
}

static uint64_t code_of(const struct slice_cell *c, int64_t value)
{
    if (value <= c->low)
        return 0;
    if (value >= c->high)
        value = c->high;
    return (uint64_t)(value - c->low) / (uint64_t)c->unit;
}

/* The next code of a cell is that of its value. */
static BDD cell_part(const struct build *w, uint32_t cell)
{
    const struct slice_cell *c = &w->slice->cells[cell];
    const struct many *m = &w->at[shape_cell(&w->shape, cell)];
    BDD part = bdd_false();

    for (uint32_t i = 0; i < m->n; i++) {
        BDD code = pattern(w->order->now[cell], w->order->cell_bits[cell], 1,
                           code_of(c, m->value[i]));
        BDD both = bdd_addref(bdd_and(code, m->at[i]));

        own(&part, bdd_or(part, both));
        bdd_delref(both);
        bdd_delref(code);
    }
    return part;
}

/* What choices may be: values they have, assumptions, no end. */
static BDD allowed(const struct build *w)
{
    const struct slice *s = w->slice;
    BDD all = bdd_true();

    for (uint32_t r = 0; r < s->n_choices; r++) {
        struct many m;
        BDD any = bdd_false();

        if (!s->used[r])
            continue;
        m = choice_leaf(w, r);
        for (uint32_t i = 0; i < m.n; i++)
            own(&any, bdd_or(any, m.at[i]));
        own(&all, bdd_and(all, any));
    }
    for (uint32_t i = 0; i < s->n_assumptions; i++)
        own(&all, bdd_and(all, many_yes(&w->at[shape_root(
                                   &w->shape, &s->assumptions[i])])));
    for (uint32_t i = 0; i < s->n_ends; i++)
        own(&all, bdd_and(all, bdd_not(many_yes(&w->at[shape_root(
                                   &w->shape, &s->ends[i])]))));
    return all;
}

/* The variables of the choices that no cell behind `after` reads; each once,
 * as `gone` notes. */
static BDD to_quantify(const struct build *w, uint32_t after, bool *gone)
{
    const struct slice *s = w->slice;
    BDD set = bdd_true();

    for (uint32_t r = 0; r < s->n_choices; r++) {
        bool later = gone[r];

        for (uint32_t i = after; i < s->n_cells && !later; i++)
            later = shape_reads(&w->shape, shape_cell(&w->shape, i), r);
        if (later)
            continue;
        gone[r] = true;
        for (uint32_t b = 0; b < w->order->choice_bits[r]; b++)
            own(&set, bdd_and(set,
                              bdd_ithvar((int)w->order->choice[r][b])));
    }
    return set;
}

static BDD join_cells(const struct build *w, BDD start)
{
    bool *gone = calloc(w->slice->n_choices + 1, sizeof *gone);
    BDD all = bdd_addref(start);

    for (uint32_t i = 0; i < w->slice->n_cells; i++) {
        BDD part = cell_part(w, i), set = to_quantify(w, i + 1, gone);

        own(&all, set == bdd_true() ? bdd_and(all, part)
                                    : bdd_appex(all, part, bddop_and, set));
        bdd_delref(part);
        bdd_delref(set);
    }
    free(gone);
    return all;
}

static BDD watched(const struct build *w, BDD start)
{
    bool *gone = calloc(w->slice->n_choices + 1, sizeof *gone);
    BDD set = to_quantify(w, w->slice->n_cells, gone), yes, all;

    free(gone);
    if (w->slice->n_watches == 0)
        return bdd_false();
    yes = many_yes(&w->at[shape_root(&w->shape, &w->slice->watches[0])]);
    all = bdd_addref(bdd_appex(start, yes, bddop_and, set));
    bdd_delref(yes);
    bdd_delref(set);
    return all;
}

struct relation relation_build(const struct order *order, bool first)
{
    struct build w = {.order = order, .slice = order->slice};
    struct relation relation;
    BDD start;

    shape_init(&w.shape, w.slice, first);
    w.at = calloc(w.slice->n_nodes + 1, sizeof *w.at);
    build_nodes(&w);
    start = allowed(&w);
    relation.watch = watched(&w, start);
    relation.steps = join_cells(&w, start);
    bdd_delref(start);
    release_nodes(&w);
    shape_release(&w.shape);
    return relation;
}
