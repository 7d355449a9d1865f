#include "study/more.h"

#include <string.h>

#include "base/arena.h"

/* Those that are there, then the new ones. */
static void *joined(struct arena *arena, const void *at, uint32_t n,
                    const void *more, uint32_t n_more, size_t size)
{
    char *all = arena_array(arena, (size_t)n + n_more + 1, size);

    if (n > 0)
        memcpy(all, at, n * size);
    if (n_more > 0)
        memcpy(all + n * size, more, n_more * size);
    return all;
}

void study_add(struct study *study, const struct study_more *more)
{
    struct arena *arena = study->arena;
    struct lowered *lowered = ARENA_NEW(arena, struct lowered);
    struct flat *flat = ARENA_NEW(arena, struct flat);

    *lowered = *study->lowered;
    *flat = *lowered->flat;
    flat->watches = joined(arena, flat->watches, flat->n_watches,
                           more->watches, more->n_watches,
                           sizeof *flat->watches);
    flat->n_watches += more->n_watches;
    flat->cells = joined(arena, flat->cells, flat->n_cells, more->cells,
                         more->n_cells, sizeof *flat->cells);
    flat->n_cells += more->n_cells;
    flat->n_nodes = flat_builder_count(lowered->builder);
    flat->nodes = joined(arena, flat_nodes(lowered->builder), flat->n_nodes,
                         NULL, 0, sizeof *flat->nodes);
    lowered->flat = flat;
    study->lowered = lowered;
}
