#include "engine/concrete/exploration.h"

#include <string.h>

#include "base/arena.h"
#include "engine/concrete/pack.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/store.h"
#include "logic/slice.h"

bool exploration_is_interrupted(const struct exploration *x)
{
    return x->interrupted && x->interrupted(x->interrupted_context);
}

static const uint32_t *own_copy(struct arena *arena, const uint32_t *fixed,
                                uint32_t n)
{
    uint32_t *copy;

    if (!fixed)
        return NULL;
    copy = arena_array(arena, n, sizeof *copy);
    memcpy(copy, fixed, n * sizeof *copy);
    return copy;
}

struct exploration *exploration_new(const struct slice *slice,
                                    uint64_t most_bytes,
                                    const uint32_t *fixed_first,
                                    const uint32_t *fixed_next)
{
    struct arena *arena = arena_new();
    struct exploration *x = ARENA_NEW(arena, struct exploration);

    x->arena = arena;
    x->slice = slice;
    x->fixed_first = own_copy(arena, fixed_first, slice->n_choices);
    x->fixed_next = own_copy(arena, fixed_next, slice->n_choices);
    x->pack = pack_new(arena, slice);
    x->store = store_new(x->pack->n_words, most_bytes);
    x->first = exploration_walker(x, arena, true, PLAN_BARE);
    x->next = exploration_walker(x, arena, false, PLAN_BARE);
    x->watch_level =
        arena_array(arena, slice->n_watches, sizeof *x->watch_level);
    x->end_level = arena_array(arena, slice->n_ends, sizeof *x->end_level);
    x->dead_end = FLAT_NONE;
    x->most_bytes = most_bytes;
    vec_push(&x->starts, 0);
    return x;
}

struct expander *exploration_walker(const struct exploration *x,
                                    struct arena *arena, bool first,
                                    unsigned parts)
{
    struct expander *made =
        expander_new(arena, x->slice, x->pack, first, parts);
    const uint32_t *fixed = first ? x->fixed_first : x->fixed_next;

    if (fixed)
        expander_fix(made, fixed);
    return made;
}

void exploration_begin(const struct exploration *x, struct expander *walker,
                       uint64_t from)
{
    if (from == UINT64_MAX)
        expander_begin(walker, NULL);
    else
        expander_begin(walker, store_at(x->store, from));
}

uint64_t exploration_target(const struct exploration *x,
                            struct expander *walker)
{
    return store_find(x->store, expander_target(walker));
}
