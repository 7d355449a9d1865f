#include "tests/support/random_counter.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "logic/apply.h"
#include "logic/operands.h"

static uint32_t pick(struct random_counter *r, uint32_t n)
{
    r->seed ^= r->seed << 13;
    r->seed ^= r->seed >> 7;
    r->seed ^= r->seed << 17;
    return (uint32_t)(r->seed >> 33) % n;
}

/* ---- making ---- */

static flat_expr count_of(struct random_counter *r, uint32_t which,
                          int depth);

static flat_expr condition(struct random_counter *r, int depth)
{
    static const enum flat_op junction[] = {FLAT_AND, FLAT_OR, FLAT_XOR};
    static const enum flat_op compare[] = {FLAT_EQ, FLAT_LT, FLAT_LE};
    flat_expr a, b;

    switch (depth == 0 ? 2 + pick(r, 3) : pick(r, 5)) {
    case 0:
        a = condition(r, depth - 1);
        b = condition(r, depth - 1);
        return hand_op(&r->h, junction[pick(r, 3)], a, b);
    case 1:
        return hand_op(&r->h, FLAT_NOT, condition(r, depth - 1), FLAT_NONE);
    case 2:
        return pick(r, 2) ? r->flag : r->row[pick(r, 2)];
    default:
        a = count_of(r, pick(r, 2), depth > 0 ? depth - 1 : 0);
        b = hand_const(&r->h, (int64_t)pick(r, 12) +
                                  (pick(r, 8) == 0 ? COUNTER_HIGH - 6 : 0));
        if (pick(r, 2))
            return hand_op(&r->h, compare[pick(r, 3)], a, b);
        return hand_op(&r->h, compare[pick(r, 3)], b, a);
    }
}

static flat_expr set_to(struct random_counter *r)
{
    if (pick(r, 2))
        return r->row[2];
    return hand_const(&r->h, pick(r, 4));
}

/* A counter's value, moved by little. */
static flat_expr count_of(struct random_counter *r, uint32_t which, int depth)
{
    flat_expr a, b, c;

    if (depth == 0)
        return r->counter[which];
    switch (pick(r, 6)) {
    case 0:
        a = condition(r, depth - 1);
        b = count_of(r, which, depth - 1);
        c = pick(r, 3) ? count_of(r, which, depth - 1) : set_to(r);
        return hand_ite(&r->h, a, b, c);
    case 1:
        a = condition(r, depth - 1);
        b = pick(r, 3) == 0 ? hand_const(&r->h, COUNTER_HIGH) : set_to(r);
        c = count_of(r, which, depth - 1);
        return hand_ite(&r->h, a, b, c);
    case 2:
    case 3:
        a = count_of(r, which, depth - 1);
        return hand_op(&r->h, FLAT_ADD, a,
                       hand_const(&r->h, 1 + pick(r, 2)));
    case 4:
        a = count_of(r, which, depth - 1);
        return hand_op(&r->h, pick(r, 6) ? FLAT_ADD : FLAT_SUB, a,
                       pick(r, 2) ? r->row[2] : hand_const(&r->h, 1));
    default:
        return r->counter[which];
    }
}

static void make_counter(struct random_counter *r, uint32_t which, bool cut)
{
    flat_expr next = count_of(r, which, 4), high, above, low, below;
    struct slice_cell *cell;

    if (pick(r, 10) == 0) /* one that reads the other's number */
        next = hand_op(&r->h, FLAT_ADD, r->counter[!which],
                       hand_const(&r->h, pick(r, 2)));
    low = hand_const(&r->h, 0);
    if (r->h.nodes.at[next].low < 0) {
        below = hand_op(&r->h, FLAT_LT, next, low);
        next = hand_ite(&r->h, below, low, next);
    }
    high = hand_const(&r->h, COUNTER_HIGH);
    hand_next(&r->h, r->counter[which], set_to(r), next);
    if (!cut)
        return;
    above = hand_op(&r->h, FLAT_LT, high, next);
    hand_next(&r->h, r->counter[which], set_to(r),
              hand_ite(&r->h, above, high, next));
    cell = &r->h.cells.at[r->h.nodes.at[r->counter[which]].a];
    cell->uncut = next;
}

void random_counter_make(struct random_counter *r, uint64_t seed, bool cut)
{
    flat_expr condition_now;

    memset(r, 0, sizeof *r);
    r->seed = seed * 0x9e3779b97f4a7c15u + 1;
    hand_init(&r->h);
    r->row[0] = hand_choice(&r->h, FLAT_OPERATOR, 2, 0);
    r->row[1] = hand_choice(&r->h, FLAT_INPUT, 2, 0);
    r->row[2] = hand_choice(&r->h, FLAT_MACHINE, 3, 0);
    r->counter[0] = hand_cell(&r->h, 0, COUNTER_HIGH, 1);
    r->counter[1] = hand_cell(&r->h, 0, COUNTER_HIGH, 1);
    r->flag = hand_cell(&r->h, 0, 1, 1);
    make_counter(r, 0, cut);
    make_counter(r, 1, cut);
    hand_next(&r->h, r->flag, r->row[0], condition(r, 2));
    for (int i = 0; i < COUNTER_WATCHES; i++)
        hand_watch(&r->h, hand_const(&r->h, 0), condition(r, 3));
    if (pick(r, 3) == 0) {
        condition_now = condition(r, 2);
        hand_assume(&r->h, hand_const(&r->h, 1),
                    hand_op(&r->h, FLAT_OR, condition_now, r->row[1]));
    }
    if (pick(r, 4) == 0)
        hand_end(&r->h, hand_const(&r->h, 0), condition(r, 2));
}

/* ---- walking ---- */

struct walk {
    const struct slice *slice;
    int64_t *value;    /* per node */
    uint32_t *seen;    /* per situation: its level */
    uint32_t *level;   /* per watch */
    uint32_t *queue, n;
};

static void compute(struct walk *w, const int64_t *cells,
                    const uint32_t *choices)
{
    for (uint32_t i = 0; i < w->slice->n_nodes; i++) {
        const struct flat_node *node = &w->slice->nodes[i];
        uint32_t n = operands_count(node->op);

        if (node->op == FLAT_CONST)
            w->value[i] = node->value;
        else if (node->op == FLAT_CELL)
            w->value[i] = cells == NULL ? 0 : cells[node->a];
        else if (node->op == FLAT_CHOICE)
            w->value[i] = choices[node->a];
        else
            w->value[i] = flat_apply(node->op, w->value[node->a],
                                     n > 1 ? w->value[node->b] : 0,
                                     n > 2 ? w->value[node->c] : 0);
    }
}

static int64_t root(const struct walk *w, const struct slice_root *at,
                    bool first)
{
    return w->value[first ? at->first : at->next];
}

static void judge(struct walk *w, bool first, uint32_t level)
{
    uint32_t key = 0;

    for (uint32_t i = 0; i < w->slice->n_assumptions; i++)
        if (!root(w, &w->slice->assumptions[i], first))
            return;
    for (uint32_t i = 0; i < w->slice->n_ends; i++)
        if (root(w, &w->slice->ends[i], first))
            return;
    for (uint32_t i = 0; i < COUNTER_WATCHES; i++)
        if (w->level[i] == 0 && root(w, &w->slice->watches[i], first))
            w->level[i] = level;
    for (uint32_t i = 0; i < w->slice->n_cells; i++) {
        const struct slice_cell *cell = &w->slice->cells[i];
        int64_t value = w->value[first ? cell->first : cell->next];

        if (value < cell->low || value > cell->high)
            return;
        key = key * (COUNTER_HIGH + 1) + (uint32_t)value;
    }
    if (w->seen[key] != 0)
        return;
    w->seen[key] = level;
    w->queue[w->n++] = key;
}

static void try_all(struct walk *w, const int64_t *cells, uint32_t level)
{
    uint32_t choices[3];

    for (uint32_t i = 0; i < 12; i++) {
        choices[0] = i & 1;
        choices[1] = i >> 1 & 1;
        choices[2] = i >> 2;
        compute(w, cells, choices);
        judge(w, cells == NULL, level);
    }
}

void random_counter_walk(const struct slice *slice,
                         uint32_t level[COUNTER_WATCHES],
                         uint32_t *situations)
{
    const uint32_t base = COUNTER_HIGH + 1, most = base * base * base;
    struct walk w = {.slice = slice, .level = level};

    memset(level, 0, COUNTER_WATCHES * sizeof *level);
    assert_int_equal(slice->n_cells, 3);
    w.value = calloc(slice->n_nodes, sizeof *w.value);
    w.seen = calloc(most, sizeof *w.seen);
    w.queue = calloc(most, sizeof *w.queue);
    assert_true(w.value != NULL && w.seen != NULL && w.queue != NULL);
    try_all(&w, NULL, 1);
    for (uint32_t at = 0; at < w.n; at++) {
        uint32_t key = w.queue[at];
        const int64_t cells[3] = {key / base / base, key / base % base,
                                  key % base};

        try_all(&w, cells, w.seen[key] + 1);
    }
    *situations = w.n;
    free(w.value);
    free(w.seen);
    free(w.queue);
}
