#include "tests/support/hand_slice.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"

void hand_init(struct hand *h)
{
    memset(h, 0, sizeof *h);
    h->arena = arena_new();
}

void hand_release(struct hand *h)
{
    vec_release(&h->nodes);
    vec_release(&h->choices);
    vec_release(&h->choice_leaf);
    vec_release(&h->cells);
    vec_release(&h->assumptions);
    vec_release(&h->ends);
    vec_release(&h->watches);
    vec_release(&h->values);
    vec_release(&h->motions);
    arena_free(h->arena);
}

static flat_expr push(struct hand *h, struct flat_node node)
{
    vec_push(&h->nodes, node);
    return (flat_expr)h->nodes.n - 1;
}

flat_expr hand_choice(struct hand *h, enum flat_kind kind, uint32_t count,
                      uint32_t rest)
{
    int64_t *values = arena_array(h->arena, count, sizeof *values);
    struct flat_choice choice = {kind, count, values, rest, "choice", 0};
    struct flat_node leaf = {FLAT_CHOICE, (uint32_t)h->choices.n,
                             FLAT_NONE,   FLAT_NONE, 0, 0, count - 1};

    for (uint32_t i = 0; i < count; i++)
        values[i] = i;
    vec_push(&h->choices, choice);
    vec_push(&h->choice_leaf, push(h, leaf));
    return h->choice_leaf.at[h->choice_leaf.n - 1];
}

flat_expr hand_cell(struct hand *h, int64_t low, int64_t high, int64_t unit)
{
    struct flat_node leaf = {FLAT_CELL, (uint32_t)h->cells.n,
                             FLAT_NONE, FLAT_NONE, 0, low, high};
    struct slice_cell cell = {(uint32_t)h->cells.n, low, high, unit,
                              push(h, leaf), 0, 0, 0};

    vec_push(&h->cells, cell);
    return cell.node;
}

void hand_next(struct hand *h, flat_expr cell, flat_expr first,
               flat_expr next)
{
    struct slice_cell *at = &h->cells.at[h->nodes.at[cell].a];

    at->first = first;
    at->next = at->uncut = next;
}

flat_expr hand_const(struct hand *h, int64_t value)
{
    return push(h, (struct flat_node){FLAT_CONST, FLAT_NONE, FLAT_NONE,
                                      FLAT_NONE, value, value, value});
}

static int64_t magnitude(const struct flat_node *n)
{
    int64_t low = llabs(n->low), high = llabs(n->high);

    return low > high ? low : high;
}

/* Wide enough is all that is asked of a range. */
static void find_range(struct flat_node *n, const struct flat_node *a,
                       const struct flat_node *b)
{
    int64_t most = magnitude(a);

    switch (n->op) {
    case FLAT_ADD:
        n->low = a->low + b->low;
        n->high = a->high + b->high;
        return;
    case FLAT_SUB:
        n->low = a->low - b->high;
        n->high = a->high - b->low;
        return;
    case FLAT_MUL:
        most *= magnitude(b);
        break;
    case FLAT_DIV:
    case FLAT_MOD:
        break;
    case FLAT_MEET:
        if (a->low >= 0 && b->low >= 0) {
            n->low = 0;
            n->high = a->high < b->high ? a->high : b->high;
            return;
        }
        most = 2 * (most > magnitude(b) ? most : magnitude(b)) + 1;
        break;
    default:
        n->low = 0;
        n->high = 1;
        return;
    }
    n->low = -most;
    n->high = most;
}

flat_expr hand_op(struct hand *h, enum flat_op op, flat_expr a, flat_expr b)
{
    struct flat_node node = {op, a, b, FLAT_NONE, 0, 0, 0};

    find_range(&node, &h->nodes.at[a],
               &h->nodes.at[op == FLAT_NOT ? a : b]);
    return push(h, node);
}

flat_expr hand_ite(struct hand *h, flat_expr a, flat_expr b, flat_expr c)
{
    const struct flat_node *yes = &h->nodes.at[b], *no = &h->nodes.at[c];
    struct flat_node node = {FLAT_ITE, a, b, c, 0, 0, 0};

    node.low = yes->low < no->low ? yes->low : no->low;
    node.high = yes->high > no->high ? yes->high : no->high;
    return push(h, node);
}

#define HAND_ROOT(function, list)                                          \
    uint32_t function(struct hand *h, flat_expr first, flat_expr next)     \
    {                                                                      \
        struct slice_root root = {(uint32_t)h->list.n, first, next};       \
                                                                           \
        vec_push(&h->list, root);                                          \
        return root.number;                                                \
    }

HAND_ROOT(hand_assume, assumptions)
HAND_ROOT(hand_end, ends)
HAND_ROOT(hand_watch, watches)
HAND_ROOT(hand_value, values)
HAND_ROOT(hand_motion, motions)

const struct slice *hand_slice(struct hand *h)
{
    struct slice *s = &h->slice;
    bool *used = arena_array(h->arena, h->choices.n, sizeof *used);

    for (size_t i = 0; i < h->choices.n; i++)
        used[i] = true;
    s->nodes = h->nodes.at;
    s->n_nodes = (uint32_t)h->nodes.n;
    s->choices = h->choices.at;
    s->n_choices = (uint32_t)h->choices.n;
    s->used = used;
    s->cells = h->cells.at;
    s->n_cells = (uint32_t)h->cells.n;
    s->assumptions = h->assumptions.at;
    s->n_assumptions = (uint32_t)h->assumptions.n;
    s->ends = h->ends.at;
    s->n_ends = (uint32_t)h->ends.n;
    s->watches = h->watches.at;
    s->n_watches = (uint32_t)h->watches.n;
    s->values = h->values.at;
    s->n_values = (uint32_t)h->values.n;
    s->motions = h->motions.at;
    s->n_motions = (uint32_t)h->motions.n;
    return s;
}
