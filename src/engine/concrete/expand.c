#include "engine/concrete/expand.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/pack.h"
#include "engine/concrete/plan.h"

struct expander *expander_new(struct arena *arena,
                              const struct slice *slice,
                              const struct pack *pack, bool first,
                              unsigned parts)
{
    struct expander *x = ARENA_NEW(arena, struct expander);
    size_t n = slice->n_cells;

    x->plan = plan_new(arena, slice, first, parts);
    x->eval = eval_new(arena, x->plan);
    x->fork = fork_new(arena, x->eval);
    x->pack = pack;
    x->cells = arena_array(arena, n, sizeof *x->cells);
    x->open = arena_array(arena, n, sizeof *x->open);
    x->base = arena_array(arena, pack->n_words, sizeof *x->base);
    x->words = arena_array(arena, pack->n_words, sizeof *x->words);
    return x;
}

void expander_fix(struct expander *x, const uint32_t *fixed)
{
    eval_fix(x->eval, fixed);
    fork_fix(x->fork, fixed);
}

/* Only cells that the plan reads are unpacked. */
static void unpack(struct expander *x, const uint64_t *words)
{
    const struct plan_roots *leaves = &x->plan->cell_leaves;

    for (uint32_t i = 0; i < leaves->n; i++) {
        uint32_t cell = x->plan->nodes[leaves->at[i]].a;

        x->cells[cell] = pack_get(&x->pack->fields[cell], words);
    }
}

/* What no choice can change any more is packed once for all leaves. */
static void pack_base(struct expander *x)
{
    const struct eval *e = x->eval;

    memset(x->base, 0, x->pack->n_words * sizeof *x->base);
    x->n_open = 0;
    x->base_fits = true;
    for (uint32_t i = 0; i < x->plan->cells.n; i++) {
        uint32_t node = x->plan->cells.at[i];

        if (!e->known[node])
            x->open[x->n_open++] = i;
        else if (!pack_put(&x->pack->fields[i], x->base, e->value[node]))
            x->base_fits = false;
    }
}

void expander_begin(struct expander *x, const uint64_t *words)
{
    ENSURE((words == NULL) == x->plan->first);
    if (words)
        unpack(x, words);
    eval_load(x->eval, x->cells);
    pack_base(x);
    fork_begin(x->fork);
}

enum fork_event expander_next(struct expander *x)
{
    enum fork_event event = fork_next(x->fork);

    x->leaves += event == FORK_LEAF;
    return event;
}

const uint64_t *expander_target(struct expander *x)
{
    const struct eval *e = x->eval;
    bool fits = x->base_fits;

    ENSURE(x->fork->ended == FLAT_NONE);
    for (uint32_t w = 0; w < x->pack->n_words; w++)
        x->words[w] = x->base[w];
    for (uint32_t i = 0; i < x->n_open; i++) {
        uint32_t cell = x->open[i], node = x->plan->cells.at[cell];

        ENSURE(e->known[node]);
        fits &= pack_put(&x->pack->fields[cell], x->words, e->value[node]);
    }
    x->reduced += !fits;
    return x->words;
}

int64_t expander_value(struct expander *x, uint32_t node)
{
    struct eval *e = x->eval;
    uint32_t mark = e->n_trail;
    int64_t value;

    while (!e->known[node]) {
        uint32_t row = eval_reads(e, node);

        eval_decide(e, row, plan_rest(&x->plan->choices[row]));
    }
    value = e->value[node];
    eval_undo(e, mark);
    return value;
}
