#include "engine/concrete/eval.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/plan.h"
#include "logic/apply.h"

struct eval *eval_new(struct arena *arena, const struct plan *plan)
{
    struct eval *e = ARENA_NEW(arena, struct eval);
    size_t n = plan->n_nodes;

    e->plan = plan;
    e->known = arena_array(arena, n, sizeof *e->known);
    e->value = arena_array(arena, n, sizeof *e->value);
    e->base = arena_array(arena, n, sizeof *e->base);
    e->pass = arena_array(arena, n, sizeof *e->pass);
    e->trail = arena_array(arena, n, sizeof *e->trail);
    eval_fix(e, NULL);
    return e;
}

/* Where a node's value can lie: one point once it is known. */
struct range {
    int64_t low, high;
};

static struct range range_of(const struct eval *e, uint32_t node)
{
    if (e->known[node])
        return (struct range){e->value[node], e->value[node]};
    return (struct range){e->plan->low[node], e->plan->high[node]};
}

/* Comparisons may be known although an operand is not. */
static bool compare(const struct eval *e, const struct plan_node *n,
                    int64_t *out)
{
    struct range a = range_of(e, n->a), b = range_of(e, n->b);

    switch (n->op) {
    case FLAT_EQ:
        *out = a.low == a.high && b.low == b.high && a.low == b.low;
        return *out || a.high < b.low || b.high < a.low;
    case FLAT_LT:
        *out = a.high < b.low;
        return *out || a.low >= b.high;
    default:
        *out = a.high <= b.low;
        return *out || a.low > b.high;
    }
}

static bool is_zero(const struct eval *e, uint32_t node)
{
    return e->known[node] && e->value[node] == 0;
}

/* A zero operand decides a product, a quotient, a remainder and common bits:
 * a divisor 0 gives 0 as well. */
static bool arithmetic(const struct eval *e, const struct plan_node *n,
                       int64_t *out)
{
    bool absorbs = n->op == FLAT_MUL || n->op == FLAT_DIV ||
                   n->op == FLAT_MOD || n->op == FLAT_MEET;

    *out = 0;
    if (absorbs && (is_zero(e, n->a) || is_zero(e, n->b)))
        return true;
    if (!e->known[n->a] || !e->known[n->b])
        return false;
    *out = flat_apply((enum flat_op)n->op, e->value[n->a], e->value[n->b],
                      0);
    return true;
}

static bool choose(const struct eval *e, const struct plan_node *n,
                   int64_t *out)
{
    const uint8_t *known = e->known;
    uint32_t taken;

    if (!known[n->a]) {
        *out = e->value[n->b];
        return known[n->b] && known[n->c] && *out == e->value[n->c];
    }
    taken = e->value[n->a] ? n->b : n->c;
    *out = e->value[taken];
    return known[taken];
}

/* What AND, OR and NOT mean on 0 and 1 is written out here because they are
 * most of all nodes; the rest is flat_apply's to say. */
static inline bool compute(const struct eval *e, uint32_t node,
                           int64_t *out)
{
    const struct plan_node *n = &e->plan->nodes[node];
    const uint8_t *known = e->known;
    const int64_t *value = e->value;

    switch (n->op) {
    case FLAT_NOT:
        *out = !value[n->a];
        return known[n->a];
    case FLAT_AND:
        *out = known[n->a] && known[n->b] && value[n->a] && value[n->b];
        return *out || is_zero(e, n->a) || is_zero(e, n->b);
    case FLAT_OR:
        *out = (known[n->a] && value[n->a]) ||
               (known[n->b] && value[n->b]);
        return *out || (known[n->a] && known[n->b]);
    case FLAT_XOR:
        *out = (value[n->a] != 0) != (value[n->b] != 0);
        return known[n->a] && known[n->b];
    case FLAT_EQ:
    case FLAT_LT:
    case FLAT_LE:
        return compare(e, n, out);
    case FLAT_ITE:
        return choose(e, n, out);
    case FLAT_CONST:
    case FLAT_CELL:
    case FLAT_CHOICE:
        return false;
    default:
        return arithmetic(e, n, out);
    }
}

static void set(struct eval *e, uint32_t node, int64_t value)
{
    e->known[node] = 1;
    e->value[node] = value;
}

static void fix_leaves(struct eval *e, const uint32_t *fixed)
{
    const struct plan *p = e->plan;

    for (uint32_t row = 0; row < p->n_choices; row++) {
        if (fixed[row] == FLAT_NONE)
            continue;
        ENSURE(fixed[row] < p->choices[row].count);
        for (uint32_t i = p->row_start[row]; i < p->row_start[row + 1]; i++)
            set(e, p->row_leaf[i], p->choices[row].values[fixed[row]]);
    }
}

void eval_fix(struct eval *e, const uint32_t *fixed)
{
    const struct plan *p = e->plan;
    int64_t value;

    memset(e->known, 0, p->n_nodes);
    if (fixed)
        fix_leaves(e, fixed);
    e->n_pass = e->n_trail = 0;
    for (uint32_t i = 0; i < p->n_nodes; i++) {
        if (p->low[i] == p->high[i])
            set(e, i, p->low[i]);
        else if (!e->known[i] && compute(e, i, &value))
            set(e, i, value);
        if (!e->known[i] && p->reads_cell[i] &&
            p->nodes[i].op != FLAT_CELL)
            e->pass[e->n_pass++] = i;
    }
    memcpy(e->base, e->known, p->n_nodes);
}

/* What is known in every situation keeps its value for good; only what a
 * cell reaches has to be computed. */
void eval_load(struct eval *e, const int64_t *cells)
{
    const struct plan *p = e->plan;
    int64_t value;

    memcpy(e->known, e->base, p->n_nodes);
    e->n_trail = 0;
    e->work += e->n_pass;
    ENSURE(cells || p->cell_leaves.n == 0);
    for (uint32_t i = 0; i < p->cell_leaves.n; i++) {
        uint32_t node = p->cell_leaves.at[i];

        set(e, node, cells[p->nodes[node].a]);
    }
    for (uint32_t i = 0; i < e->n_pass; i++)
        if (compute(e, e->pass[i], &value))
            set(e, e->pass[i], value);
}

/* The trail doubles as the queue of nodes whose parents are to be looked
 * at. */
void eval_decide(struct eval *e, uint32_t row, uint32_t index)
{
    const struct plan *p = e->plan;
    uint32_t head = e->n_trail;
    int64_t value = p->choices[row].values[index];

    for (uint32_t i = p->row_start[row]; i < p->row_start[row + 1]; i++) {
        if (e->known[p->row_leaf[i]])
            continue;
        set(e, p->row_leaf[i], value);
        e->trail[e->n_trail++] = p->row_leaf[i];
    }
    for (; head < e->n_trail; head++) {
        uint32_t node = e->trail[head];
        uint32_t end = p->out_start[node + 1];

        e->work += end - p->out_start[node];
        for (uint32_t i = p->out_start[node]; i < end; i++) {
            uint32_t parent = p->out[i];

            if (e->known[parent] || !compute(e, parent, &value))
                continue;
            set(e, parent, value);
            e->trail[e->n_trail++] = parent;
        }
    }
}

void eval_undo(struct eval *e, uint32_t mark)
{
    while (e->n_trail > mark)
        e->known[e->trail[--e->n_trail]] = 0;
}

/* An unknown node has an unknown child that matters; following one such
 * child at each node ends at a choice. */
uint32_t eval_reads(const struct eval *e, uint32_t node)
{
    for (;;) {
        const struct plan_node *n = &e->plan->nodes[node];

        ENSURE(!e->known[node]);
        switch (n->op) {
        case FLAT_CHOICE:
            return n->a;
        case FLAT_NOT:
            node = n->a;
            break;
        case FLAT_ITE:
            if (!e->known[n->a])
                node = n->a;
            else
                node = e->value[n->a] ? n->b : n->c;
            break;
        default:
            ENSURE(n->op != FLAT_CELL && n->op != FLAT_CONST);
            node = e->known[n->a] ? n->b : n->a;
        }
    }
}
