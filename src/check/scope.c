#include "check/scope.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "source/diag.h"

enum { FIRST_PLACES = 16 };

static size_t find_place(const struct scope *scope, const struct name *name)
{
    size_t mask = scope->table.n - 1;
    size_t at = (size_t)hash_word(name->id) & mask;

    while (scope->table.at[at] &&
           scope->all.at[scope->table.at[at] - 1]->name != name)
        at = (at + 1) & mask;
    return at;
}

struct symbol *scope_find(const struct scope *scope,
                          const struct name *name)
{
    size_t at;

    if (!scope->table.n)
        return NULL;
    at = find_place(scope, name);
    return scope->table.at[at] ? scope->all.at[scope->table.at[at] - 1]
                               : NULL;
}

static void make_table(struct scope *scope, size_t n)
{
    vec_reserve(&scope->table, n);
    memset(scope->table.at, 0, n * sizeof *scope->table.at);
    scope->table.n = n;
    for (size_t i = 0; i < scope->all.n; i++)
        scope->table.at[find_place(scope, scope->all.at[i]->name)] =
            (uint32_t)(i + 1);
}

struct symbol *scope_put(struct scope *scope, struct arena *arena,
                         const struct symbol *what)
{
    struct symbol *symbol = ARENA_NEW(arena, struct symbol);

    ENSURE(!scope_find(scope, what->name));
    *symbol = *what;
    if (2 * (scope->all.n + 1) > scope->table.n)
        make_table(scope,
                   scope->table.n ? 2 * scope->table.n : FIRST_PLACES);
    vec_push(&scope->all, symbol);
    scope->table.at[find_place(scope, symbol->name)] =
        (uint32_t)scope->all.n;
    return symbol;
}

struct symbol *scope_add(struct scope *scope, struct arena *arena,
                         struct diags *diags, const struct symbol *what)
{
    const struct symbol *first = scope_find(scope, what->name);

    if (!first)
        return scope_put(scope, arena, what);
    if (first->kind == SYMBOL_WORD) {
        diag_add(diags, DIAG_ERROR, what->span, "choose another name",
                 "'%s' has a meaning of its own in a review text",
                 what->name->spelling);
        return NULL;
    }
    diag_add(diags, DIAG_ERROR, what->span,
             "give one of the two another name",
             "the name '%s' is declared twice", what->name->spelling);
    if (first->span.file)
        diag_also(diags, first->span, "first declared here");
    return NULL;
}

const struct symbol *scope_nearest(const struct scope *const *scopes,
                                   size_t count, const struct name *name)
{
    VEC(const struct name *) names = {0};
    const struct name *near;
    const struct symbol *found = NULL;

    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; scopes[i] && j < scopes[i]->all.n; j++)
            if (!scopes[i]->all.at[j]->hidden)
                vec_push(&names, scopes[i]->all.at[j]->name);
    near = name_nearest(name, names.at, names.n);
    vec_release(&names);
    for (size_t i = 0; near && !found && i < count; i++)
        if (scopes[i])
            found = scope_find(scopes[i], near);
    return found;
}

void scope_release(struct scope *scope)
{
    vec_release(&scope->all);
    vec_release(&scope->table);
}
