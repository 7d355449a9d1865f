#include "engine/tiles/straight.h"

#include <string.h>

#include "base/arena.h"
#include "engine/concrete/plan.h"
#include "logic/apply.h"

static bool is_leaf(const struct plan_node *n)
{
    return n->op == FLAT_CONST || n->op == FLAT_CELL || n->op == FLAT_CHOICE;
}

/* Which nodes depend on choices. */
static void mark_open(const struct plan *p, bool *open)
{
    for (uint32_t i = 0; i < p->n_nodes; i++) {
        const struct plan_node *n = &p->nodes[i];

        if (p->low[i] == p->high[i])
            continue;
        if (is_leaf(n)) {
            open[i] = n->op == FLAT_CHOICE;
            continue;
        }
        open[i] = open[n->a];
        if (n->op != FLAT_NOT)
            open[i] = open[i] || open[n->b];
        if (n->op == FLAT_ITE)
            open[i] = open[i] || open[n->c];
    }
}

struct straight *straight_new(struct arena *arena, const struct plan *plan)
{
    struct straight *s = ARENA_NEW(arena, struct straight);
    uint32_t n = plan->n_nodes;
    bool *open = arena_array(arena, n, sizeof *open);

    s->plan = plan;
    s->value = arena_array(arena, n, sizeof *s->value);
    s->fixed = arena_array(arena, n, sizeof *s->fixed);
    s->open = arena_array(arena, n, sizeof *s->open);
    mark_open(plan, open);
    for (uint32_t i = 0; i < n; i++) {
        const struct plan_node *at = &plan->nodes[i];
        struct straight_node made = {at->op, at->a, at->b, 0, i};

        s->value[i] = plan->low[i]; /* where it is constant */
        if (plan->low[i] == plan->high[i] || is_leaf(at))
            continue;
        if (at->op == FLAT_NOT)
            made.b = at->a;
        if (at->op == FLAT_ITE)
            made.c = at->c;
        if (open[i])
            s->open[s->n_open++] = made;
        else
            s->fixed[s->n_fixed++] = made;
    }
    return s;
}

/* What is most frequent is written out, on the same operands as eval.c; the
 * rest is flat_apply's to say. */
static void work(int64_t *value, const struct straight_node *at, uint32_t n)
{
    for (const struct straight_node *end = at + n; at < end; at++) {
        int64_t a = value[at->a], b = value[at->b], *to = &value[at->to];

        switch (at->op) {
        case FLAT_NOT: *to = a == 0; break;
        case FLAT_AND: *to = a != 0 && b != 0; break;
        case FLAT_OR: *to = a != 0 || b != 0; break;
        case FLAT_XOR: *to = (a != 0) != (b != 0); break;
        case FLAT_EQ: *to = a == b; break;
        case FLAT_LT: *to = a < b; break;
        case FLAT_LE: *to = a <= b; break;
        case FLAT_ITE: *to = a != 0 ? b : value[at->c]; break;
        default: *to = flat_apply((enum flat_op)at->op, a, b, 0);
        }
    }
}

void straight_load(struct straight *s, const int64_t *cells)
{
    const struct plan *p = s->plan;

    for (uint32_t i = 0; i < p->cell_leaves.n; i++) {
        uint32_t node = p->cell_leaves.at[i];

        s->value[node] = cells[p->nodes[node].a];
    }
    work(s->value, s->fixed, s->n_fixed);
}

void straight_decide(struct straight *s, uint32_t row, uint32_t index)
{
    const struct plan *p = s->plan;

    for (uint32_t i = p->row_start[row]; i < p->row_start[row + 1]; i++)
        s->value[p->row_leaf[i]] = p->choices[row].values[index];
}

void straight_work(struct straight *s)
{
    work(s->value, s->open, s->n_open);
}
