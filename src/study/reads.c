#include "study/reads.h"

#include <stddef.h>

#include "base/arena.h"
#include "base/vec.h"
#include "logic/flat.h"

/* Work on one watch. */
struct look {
    const struct flat *flat;
    bool *met;         /* per node */
    bool *choice;      /* per row */
    uint64_t *cells;
    uint32_t n, n_nodes;
    VEC(flat_expr) open;
};

static void meet(struct look *l, flat_expr expr)
{
    if (expr == FLAT_NONE || l->met[expr])
        return;
    l->met[expr] = true;
    l->n_nodes++;
    vec_push(&l->open, expr);
}

static void meet_cell(struct look *l, uint32_t cell)
{
    uint64_t bit = (uint64_t)1 << cell % 64;

    if (l->cells[cell / 64] & bit)
        return;
    l->cells[cell / 64] |= bit;
    l->n++;
    meet(l, l->flat->cells[cell].initial);
    meet(l, l->flat->cells[cell].next);
}

static void meet_cause(struct look *l, const struct flat_cause *cause)
{
    l->choice[cause->choice] = true;
    meet_cell(l, cause->cell);
}

static void meet_fault(struct look *l, const struct flat_fault *fault)
{
    for (uint32_t i = 0; i < fault->n_causes; i++)
        meet_cause(l, &l->flat->causes[fault->causes[i]]);
    if (fault->choice == FLAT_NONE)
        return;
    l->choice[fault->choice] = true;
    meet_cell(l, fault->cell);
}

static void meet_hole(struct look *l, uint32_t hole)
{
    const struct flat *flat = l->flat;
    uint32_t index = flat->hole_index[hole];

    switch (flat->hole_kind[hole]) {
    case HOLE_FIRST:
    case HOLE_STUDIED: return;
    case HOLE_FAULT: meet_fault(l, &flat->faults[index]); return;
    case HOLE_CAUSE: meet_cause(l, &flat->causes[index]); return;
    case HOLE_MAY: meet(l, flat->timed_may[index]); return;
    case HOLE_MUST: meet(l, flat->timed_must[index]); return;
    }
}

static void follow(struct look *l)
{
    while (l->open.n > 0) {
        const struct flat_node *node =
            &l->flat->nodes[l->open.at[--l->open.n]];

        switch (node->op) {
        case FLAT_CONST: break;
        case FLAT_CELL: meet_cell(l, node->a); break;
        case FLAT_CHOICE: l->choice[node->a] = true; break;
        case FLAT_HOLE: meet_hole(l, node->a); break;
        default:
            meet(l, node->a);
            meet(l, node->b);
            meet(l, node->c);
            break;
        }
    }
}

/* Does an expression read something that is there? */
static bool shares(const struct look *l, struct arena *arena, flat_expr root)
{
    const struct flat_node *nodes = l->flat->nodes;
    bool *mark = arena_array(arena, (size_t)root + 1, sizeof *mark);

    mark[root] = true;
    for (flat_expr i = root + 1; i-- > 0;) {
        const struct flat_node *node = &nodes[i];

        if (!mark[i])
            continue;
        if (node->op == FLAT_CELL &&
            l->cells[node->a / 64] >> node->a % 64 & 1)
            return true;
        if (node->op == FLAT_CHOICE && l->choice[node->a])
            return true;
        if (node->op <= FLAT_HOLE)
            continue;
        mark[node->a] = true;
        if (node->b != FLAT_NONE)
            mark[node->b] = true;
        if (node->c != FLAT_NONE)
            mark[node->c] = true;
    }
    return false;
}

/* Adds what is tied to what is there; true when something was. */
static bool add_tied(struct look *l, struct arena *arena)
{
    const struct flat *flat = l->flat;
    bool more = false;

    for (uint32_t i = 0; i < flat->n_motions; i++) {
        flat_expr moved = flat->motions[i].moved;

        if (l->met[moved] || !l->choice[flat->motions[i].choice])
            continue;
        more = true;
        meet(l, moved);
    }
    for (uint32_t i = 0; i < flat->n_assumptions; i++) {
        flat_expr condition = flat->assumptions[i].condition;

        if (l->met[condition] || !shares(l, arena, condition))
            continue;
        more = true;
        meet(l, condition);
    }
    follow(l);
    return more;
}

struct reads reads_of(struct arena *arena, const struct flat *flat,
                      uint32_t watch)
{
    struct arena *scratch = arena_new();
    uint32_t n_words = flat->n_cells / 64 + 1;
    struct look look = {
        .flat = flat,
        .met = arena_array(scratch, flat->n_nodes, sizeof(bool)),
        .choice = arena_array(scratch, (size_t)flat->n_choices + 1,
                              sizeof(bool)),
        .cells = arena_array(arena, n_words, sizeof(uint64_t)),
    };

    meet(&look, flat->watches[watch].condition);
    follow(&look);
    while (add_tied(&look, scratch)) {
    }
    vec_release(&look.open);
    arena_free(scratch);
    return (struct reads){look.cells, n_words, look.n, look.n_nodes};
}

bool reads_within(const struct reads *a, const struct reads *b)
{
    for (uint32_t i = 0; i < a->n_words; i++)
        if (a->cells[i] & ~b->cells[i])
            return false;
    return true;
}

uint32_t reads_together(const struct reads *a, const struct reads *b)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < a->n_words; i++)
        n += (uint32_t)__builtin_popcountll(a->cells[i] | b->cells[i]);
    return n;
}

struct reads reads_join(struct arena *arena, const struct reads *a,
                        const struct reads *b)
{
    uint64_t *cells = arena_array(arena, a->n_words, sizeof *cells);

    for (uint32_t i = 0; i < a->n_words; i++)
        cells[i] = a->cells[i] | b->cells[i];
    return (struct reads){cells, a->n_words, reads_together(a, b),
                          a->n_nodes > b->n_nodes ? a->n_nodes : b->n_nodes};
}
