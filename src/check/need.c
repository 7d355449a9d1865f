#include "check/need.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/vec.h"
#include "lang/parts.h"

/* A part that a name stands for; several may share a name. */
struct bearer {
    const struct tree_part *part;
    uint32_t next; /* 1 + index, 0: none */
};

struct need {
    const bool *needed; /* by name id */
    uint32_t n_names;
    bool all;
};

struct search {
    VEC(struct bearer) bearers;
    uint32_t *first; /* by name id: 1 + index */
    bool *needed;
    bool *global; /* by name id: one is a global variable */
    uint32_t n_names;
    VEC(uint32_t) open; /* ids whose parts are still to be looked at */
};

/* ---- names ---- */

static uint32_t beyond(const struct tree_part *part, uint32_t n)
{
    for (uint32_t i = 0; i < part->n_mentions; i++)
        if (part->mentions[i].name->id >= n)
            n = part->mentions[i].name->id + 1;
    return n;
}

static uint32_t larger(uint32_t n, const struct name *name)
{
    return name->id >= n ? name->id + 1 : n;
}

static uint32_t count_names(const struct tree_run *run)
{
    uint32_t n = beyond(&run->review_part, 0);

    for (const struct tree_pou *pou = run->pous.first; pou; pou = pou->next)
        n = larger(beyond(&pou->part, n), pou->name->name);
    for (const struct tree_type_decl *decl = run->types.first; decl;
         decl = decl->next)
        n = larger(beyond(&decl->part, n), decl->name->name);
    for (const struct tree_var_block *block = run->globals.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            n = larger(larger(beyond(&var->part, n), var->name),
                       var->place ? var->place : var->name);
    return n;
}

/* ---- who bears them ---- */

static void bear(struct search *search, const struct name *name,
                 const struct tree_part *part)
{
    struct bearer bearer = {part, search->first[name->id]};

    vec_push(&search->bearers, bearer);
    search->first[name->id] = (uint32_t)search->bearers.n;
}

static void want(struct search *search, const struct name *name)
{
    if (name->id >= search->n_names || search->needed[name->id])
        return;
    search->needed[name->id] = true;
    if (search->first[name->id])
        vec_push(&search->open, name->id);
}

static void want_all(struct search *search, const struct tree_part *part)
{
    for (uint32_t i = 0; i < part->n_mentions; i++)
        if (!part->mentions[i].behind ||
            search->global[part->mentions[i].name->id])
            want(search, part->mentions[i].name);
}

/* An item stands for the enumeration that it is part of. */
static void bear_items(struct search *search,
                       const struct tree_type_decl *decl)
{
    const struct tree_enum_item *item = decl->type->items.first;

    for (; item; item = item->next)
        if (item->name->id < search->n_names)
            bear(search, item->name, &decl->part);
}

static void bear_all(struct search *search, const struct tree_run *run)
{
    for (const struct tree_pou *pou = run->pous.first; pou; pou = pou->next)
        bear(search, pou->name->name, &pou->part);
    for (const struct tree_type_decl *decl = run->types.first; decl;
         decl = decl->next) {
        bear(search, decl->name->name, &decl->part);
        bear_items(search, decl);
    }
    for (const struct tree_var_block *block = run->globals.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next) {
            bear(search, var->name, &var->part);
            search->global[var->name->id] = true;
            if (var->place)
                bear(search, var->place, &var->part);
        }
}

bool need_runs(const struct tree_run *run, const struct tree_pou *pou)
{
    const struct tree_configuration *at = run->configurations.first;

    if (pou->kind != TREE_PROGRAM)
        return false;
    if (run->alone)
        return pou->name->name == run->alone;
    if (!at)
        return true;
    for (; at; at = at->next)
        for (const struct tree_instance *instance = at->instances.first;
             instance; instance = instance->next)
            if (instance->type->name == pou->name->name)
                return true;
    return false;
}

static bool start(struct search *search, const struct tree_run *run)
{
    bool any = false;

    for (const struct tree_pou *pou = run->pous.first; pou; pou = pou->next)
        if (need_runs(run, pou)) {
            want(search, pou->name->name);
            any = true;
        }
    want_all(search, &run->review_part);
    return any;
}

static void spread(struct search *search)
{
    while (search->open.n) {
        uint32_t id = search->open.at[--search->open.n];
        uint32_t at = search->first[id];

        for (; at; at = search->bearers.at[at - 1].next)
            want_all(search, search->bearers.at[at - 1].part);
    }
}

const struct need *need_of(struct arena *arena, const struct tree_run *run)
{
    struct need *need = ARENA_NEW(arena, struct need);
    struct search search = {.n_names = count_names(run)};

    search.first = arena_array(arena, search.n_names, sizeof(uint32_t));
    search.needed = arena_array(arena, search.n_names, sizeof(bool));
    search.global = arena_array(arena, search.n_names, sizeof(bool));
    bear_all(&search, run);
    need->all = !start(&search, run);
    spread(&search);
    need->needed = search.needed;
    need->n_names = search.n_names;
    vec_release(&search.bearers);
    vec_release(&search.open);
    return need;
}

bool need_has(const struct need *need, const struct name *name)
{
    return !need || need->all ||
           (name->id < need->n_names && need->needed[name->id]);
}

bool need_global(const struct need *need, const struct tree_var *var)
{
    return need_has(need, var->name) ||
           (var->place && need_has(need, var->place));
}

bool need_unknown(const struct tree_run *run, const struct tree_pou *pou)
{
    const struct tree_unknown *at = run->review.unknown.first;

    while (at && at->name->name != pou->name->name)
        at = at->next;
    return at;
}

void need_report(const struct need *need, const struct tree_run *run,
                 struct diags *diags)
{
    for (const struct tree_pou *pou = run->pous.first; pou; pou = pou->next)
        if (need_has(need, pou->name->name))
            parts_report_but(&pou->part, need_unknown(run, pou), diags);
    for (const struct tree_type_decl *decl = run->types.first; decl;
         decl = decl->next)
        if (need_has(need, decl->name->name))
            parts_report(&decl->part, diags);
    for (const struct tree_var_block *block = run->globals.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (need_global(need, var))
                parts_report(&var->part, diags);
}
