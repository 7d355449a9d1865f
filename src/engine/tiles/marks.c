#include "engine/tiles/marks.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/tiles/outline.h"
#include "logic/operands.h"

enum {
    READ_BITS = 14, /* a node should read no more without marks */
    SHARED_BITS = 4 /* one read more than once should read less */
};

/* Sets of leaves as bits: choice rows, cells, marks (as many as nodes). */
struct finder {
    struct scan_form *form;
    uint32_t n_words;
    uint64_t *sets;   /* per node */
    uint8_t *wanted;  /* per node: something other than assumptions */
    uint32_t *users;  /* per node: how many read it */
    uint32_t *mark_of;
    flat_expr *mark;
    uint32_t n_marks;
};

static uint32_t width_of_range(const struct flat_node *node)
{
    uint64_t most = (uint64_t)node->high - (uint64_t)node->low;

    return most == 0 ? 0 : 64 - (uint32_t)__builtin_clzll(most);
}

static uint64_t *set_of(const struct finder *f, flat_expr node)
{
    return f->sets + (size_t)node * f->n_words;
}

/* Leaves are numbered: choice rows, then nodes (cells and marks). */
static void put(uint64_t *set, uint32_t leaf)
{
    set[leaf / 64] |= (uint64_t)1 << (leaf % 64);
}

static uint32_t leaf_width(const struct finder *f, uint32_t leaf)
{
    const struct scan_form *form = f->form;

    if (leaf < form->n_rows)
        return form->choices[leaf].count > 2 ? 2 : 1;
    return width_of_range(&form->nodes[leaf - form->n_rows]);
}

static uint32_t width(const struct finder *f, const uint64_t *set)
{
    uint32_t sum = 0;

    for (uint32_t w = 0; w < f->n_words; w++)
        for (uint64_t bits = set[w]; bits; bits &= bits - 1)
            sum += leaf_width(
                f, w * 64 + (uint32_t)__builtin_ctzll(bits));
    return sum;
}

static void make_mark(struct finder *f, flat_expr node)
{
    uint64_t *set = set_of(f, node);

    memset(set, 0, f->n_words * sizeof *set);
    put(set, f->form->n_rows + node);
    f->mark_of[node] = f->n_marks;
    f->mark[f->n_marks++] = node;
}

static void unite(const struct finder *f, flat_expr node)
{
    uint64_t *set = set_of(f, node);
    flat_expr child[3];
    unsigned n = operands_of(&f->form->nodes[node], child);

    memset(set, 0, f->n_words * sizeof *set);
    for (unsigned k = 0; k < n; k++)
        for (uint32_t w = 0; w < f->n_words; w++)
            set[w] |= set_of(f, child[k])[w];
}

/* The child that a mark would save most at; FLAT_NONE: none. */
static flat_expr widest(const struct finder *f, flat_expr node)
{
    flat_expr child[3], best = FLAT_NONE;
    unsigned n = operands_of(&f->form->nodes[node], child);
    uint32_t most = 0;

    for (unsigned k = 0; k < n; k++) {
        uint32_t own = width_of_range(&f->form->nodes[child[k]]);
        uint32_t reads = width(f, set_of(f, child[k]));

        if (f->mark_of[child[k]] == FLAT_NONE && reads > own &&
            reads - own > most) {
            most = reads - own;
            best = child[k];
        }
    }
    return best;
}

static void look_at(struct finder *f, flat_expr node)
{
    const struct flat_node *at = &f->form->nodes[node];
    flat_expr child;

    if (at->low == at->high || at->op == FLAT_CONST)
        return;
    if (at->op == FLAT_CHOICE || at->op == FLAT_CELL) {
        put(set_of(f, node),
            at->op == FLAT_CHOICE ? at->a : f->form->n_rows + node);
        return;
    }
    unite(f, node);
    while (width(f, set_of(f, node)) > READ_BITS &&
           (child = widest(f, node)) != FLAT_NONE) {
        make_mark(f, child);
        unite(f, node);
    }
    if (f->users[node] > 1 &&
        width(f, set_of(f, node)) >= SHARED_BITS + width_of_range(at))
        make_mark(f, node);
}

static void want(struct finder *f, flat_expr root)
{
    f->wanted[root] = 1;
    f->users[root]++;
}

static void want_all(struct finder *f)
{
    const struct scan_form *form = f->form;
    const struct slice *s = form->slice;
    flat_expr child[3];

    for (uint32_t i = 0; i < s->n_ends; i++)
        want(f, outline_root(form, &s->ends[i]));
    for (uint32_t i = 0; i < s->n_watches; i++)
        want(f, outline_root(form, &s->watches[i]));
    for (uint32_t i = 0; i < s->n_cells; i++)
        want(f, outline_next(form, i));
    for (uint32_t i = s->n_nodes; i-- > 0;) {
        const struct flat_node *node = &form->nodes[i];
        unsigned n = operands_of(node, child);

        if (!f->wanted[i] || node->low == node->high)
            continue;
        for (unsigned k = 0; k < n; k++)
            want(f, child[k]);
    }
}

void find_marks(struct arena *arena, struct scan_form *form)
{
    struct arena *scratch = arena_new();
    uint32_t n = form->slice->n_nodes;
    struct finder f = {.form = form};

    f.n_words = (form->n_rows + n) / 64 + 1;
    f.sets = arena_array(scratch, (size_t)n * f.n_words, sizeof *f.sets);
    f.wanted = arena_array(scratch, n, 1);
    f.users = arena_array(scratch, n, sizeof *f.users);
    f.mark = arena_array(arena, n, sizeof *f.mark);
    f.mark_of = arena_array(arena, n, sizeof *f.mark_of);
    for (uint32_t i = 0; i < n; i++)
        f.mark_of[i] = FLAT_NONE;
    want_all(&f);
    for (uint32_t i = 0; i < n; i++)
        if (f.wanted[i])
            look_at(&f, i);
    form->n_marks = f.n_marks;
    form->n_items = form->n_rows + form->slice->n_cells + f.n_marks;
    form->mark = f.mark;
    form->mark_of = f.mark_of;
    arena_free(scratch);
}
