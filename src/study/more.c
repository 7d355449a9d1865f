#include "study/more.h"

#include <string.h>

#include "base/arena.h"

/* So many things of one kind. */
struct run {
    const void *at;
    uint32_t n;
};

/* Those that are there, then the new ones. */
static void *joined(struct arena *arena, struct run old, struct run more,
                    size_t size)
{
    char *all = arena_array(arena, (size_t)old.n + more.n + 1, size);

    if (old.n > 0)
        memcpy(all, old.at, old.n * size);
    if (more.n > 0)
        memcpy(all + old.n * size, more.at, more.n * size);
    return all;
}

void study_add(struct study *study, const struct study_more *more)
{
    struct arena *arena = study->arena;
    struct lowered *lowered = ARENA_NEW(arena, struct lowered);
    struct flat *flat = ARENA_NEW(arena, struct flat);

    *lowered = *study->lowered;
    *flat = *lowered->flat;
    flat->watches = joined(
        arena, (struct run){flat->watches, flat->n_watches},
        (struct run){more->watches, more->n_watches}, sizeof *flat->watches);
    flat->n_watches += more->n_watches;
    flat->cells = joined(arena, (struct run){flat->cells, flat->n_cells},
                         (struct run){more->cells, more->n_cells},
                         sizeof *flat->cells);
    flat->n_cells += more->n_cells;
    flat->n_nodes = flat_builder_count(lowered->builder);
    flat->nodes = joined(
        arena, (struct run){flat_nodes(lowered->builder), flat->n_nodes},
        (struct run){NULL, 0}, sizeof *flat->nodes);
    lowered->flat = flat;
    study->lowered = lowered;
}
