#include "logic/forms.h"

#include <string.h>

#include "base/arena.h"
#include "logic/build.h"
#include "logic/filled.h"
#include "logic/keep.h"
#include "logic/table.h"

static void number_roots(struct forms *f, const struct slice_request *r)
{
    const struct flat *flat = f->flat;

    f->at_assumptions = flat->n_cells;
    f->at_motions = f->at_assumptions + flat->n_assumptions;
    f->at_watches = f->at_motions + flat->n_motions;
    f->at_ends = f->at_watches + r->n_watches;
    f->at_values = f->at_ends + r->n_ends;
    f->n_roots = f->at_values + r->n_values;
}

static const void *copy_of(struct arena *arena, const void *from, size_t n,
                           size_t size)
{
    void *to = arena_array(arena, n, size);

    if (n > 0)
        memcpy(to, from, n * size);
    return to;
}

static void copy_filled(struct forms *f, const struct filled *filled)
{
    uint32_t n = f->flat->n_cells;

    table_copy(f->table, filled->table);
    memcpy(f->first, filled->first, filled->n_roots * sizeof *f->first);
    memcpy(f->next, filled->next, filled->n_roots * sizeof *f->next);
    f->uncut = copy_of(f->arena, filled->uncut, n, sizeof *f->uncut);
    f->leaf = copy_of(f->arena, filled->leaf, n, sizeof *f->leaf);
    f->range = copy_of(f->arena, filled->range, n, sizeof *f->range);
    f->timed = copy_of(f->arena, filled->timed, f->flat->n_movements,
                       sizeof *f->timed);
}

static void list_asked(const struct forms *f, const struct slice_request *r,
                       flat_expr *root)
{
    for (uint32_t i = 0; i < r->n_watches; i++)
        *root++ = f->flat->watches[r->watches[i]].condition;
    for (uint32_t i = 0; i < r->n_ends; i++)
        *root++ = f->flat->watches[r->ends[i]].condition;
    for (uint32_t i = 0; i < r->n_values; i++)
        *root++ = r->values[i];
}

/* What the request asks for becomes what the rest became. */
static void fill_asked(struct forms *f, const struct slice_request *r,
                       const struct filled *filled)
{
    uint32_t n = f->n_roots - f->at_watches;
    flat_expr *first = f->first + f->at_watches;
    flat_expr *next = f->next + f->at_watches;

    list_asked(f, r, first);
    list_asked(f, r, next);
    flat_substitute(f->table, filled->by_first, filled->n_nodes, first, n);
    flat_substitute(f->table, filled->by_next, filled->n_nodes, next, n);
    for (uint32_t i = 0; i < filled->n_narrowed; i++)
        flat_substitute(f->table, filled->narrowed[i].by,
                        filled->narrowed[i].n, next, n);
}

static struct forms *forms_from(const struct filled *filled,
                                const struct flat *flat,
                                const struct slice_request *request)
{
    struct arena *arena = arena_new();
    struct forms *f = ARENA_NEW(arena, struct forms);

    f->arena = arena;
    f->flat = flat;
    f->table = flat_builder_new(arena);
    number_roots(f, request);
    f->first = arena_array(arena, (size_t)f->n_roots + 1, sizeof *f->first);
    f->next = arena_array(arena, (size_t)f->n_roots + 1, sizeof *f->next);
    copy_filled(f, filled);
    fill_asked(f, request, filled);
    return f;
}

struct forms *forms_new(const struct flat_builder *builder,
                        const struct flat *flat,
                        const struct slice_request *request,
                        const bool *read)
{
    struct filled *own = NULL;
    struct forms *forms;

    if (request->keep == NULL)
        own = filled_new(builder, flat, request, read);
    forms = forms_from(own != NULL ? own
                                   : keep_filled(request->keep, builder,
                                                  flat, request, read),
                       flat, request);
    filled_free(own);
    return forms;
}

void forms_free(struct forms *forms)
{
    if (!forms)
        return;
    flat_builder_free(forms->table);
    arena_free(forms->arena);
}
