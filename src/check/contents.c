#include "check/contents.h"

#include <stdlib.h>
#include <string.h>

#include "check/check.h"
#include "check/draft.h"
#include "check/need.h"
#include "check/real.h"
#include "check/typing.h"
#include "check/unit.h"

struct listing {
    struct draft draft;
    VEC(struct content) rows;
    struct scope missing;
};

static bool is_known(const struct listing *listing, const struct name *name)
{
    return scope_find(&listing->draft.type_scope, name) ||
           scope_find(&listing->draft.unit_scope, name) ||
           scope_find(&listing->missing, name);
}

/* The types that a needed part names and nobody declares. */
static void add_missing(struct listing *listing, uint32_t file,
                        const struct tree_part *part)
{
    for (uint32_t i = 0; i < part->n_mentions; i++) {
        const struct tree_mention *mention = &part->mentions[i];
        struct span span = {file, mention->from,
                            mention->from + mention->name->length};

        if (!mention->is_type || is_known(listing, mention->name))
            continue;
        scope_put(&listing->missing, listing->draft.arena,
                  &(struct symbol){.name = mention->name, .span = span});
        vec_push(&listing->rows,
                 ((struct content){CONTENT_MISSING, "type or block",
                                   mention->name, span, NULL}));
    }
}

/* row.why: what of it cannot be read, if anything. */
static void add(struct listing *listing, struct content row,
                const struct tree_part *part)
{
    bool needed = need_has(listing->draft.need, row.name);

    row.state = needed ? row.why ? CONTENT_UNREADABLE : CONTENT_READ
                       : row.why ? CONTENT_SKIPPED : CONTENT_IDLE;
    vec_push(&listing->rows, row);
    if (needed && !row.why)
        add_missing(listing, row.span.file, part);
}

/* Of what is UNKNOWN no body is needed. */
static const struct tree_unread *unread(const struct tree_run *run,
                                        const struct tree_pou *pou)
{
    const struct tree_unread *at = pou->part.unread.first;
    bool unknown = need_unknown(run, pou);

    while (at && unknown && at->body)
        at = at->next;
    return at;
}

static void add_all(struct listing *listing, const struct tree_run *run)
{
    static const char *const kinds[] = {"PROGRAM", "FUNCTION_BLOCK",
                                        "FUNCTION"};

    for (const struct tree_pou *pou = run->pous.first; pou; pou = pou->next)
        add(listing, (struct content){.kind = kinds[pou->kind],
                                      .name = pou->name->name,
                                      .span = pou->name->span,
                                      .why = unread(run, pou)}, &pou->part);
    for (const struct tree_type_decl *decl = run->types.first; decl;
         decl = decl->next)
        add(listing, (struct content){.kind = "TYPE",
                                      .name = decl->name->name,
                                      .span = decl->name->span,
                                      .why = decl->part.unread.first},
            &decl->part);
    for (const struct tree_var_block *block = run->globals.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            add(listing, (struct content){.kind = "VAR_GLOBAL",
                                          .name = var->name,
                                          .span = var->span,
                                          .why = var->part.unread.first},
                &var->part);
}

static int by_place(const void *left, const void *right)
{
    const struct content *a = left, *b = right;

    if (a->span.file != b->span.file)
        return a->span.file < b->span.file ? -1 : 1;
    return (a->span.from > b->span.from) - (a->span.from < b->span.from);
}

static struct contents keep(struct listing *listing)
{
    size_t n = listing->rows.n;
    struct content *rows = arena_array(listing->draft.arena, n,
                                       sizeof *rows);

    if (n) {
        qsort(listing->rows.at, n, sizeof *rows, by_place);
        memcpy(rows, listing->rows.at, n * sizeof *rows);
    }
    return (struct contents){rows, (uint32_t)n};
}

struct contents contents_of(const struct check_context *context,
                            const struct tree_run *run)
{
    struct listing listing = {.rows = {0}};
    struct diags *nowhere = diags_new(context->arena);
    struct contents contents;

    draft_init(&listing.draft, context->arena, context->names,
               context->sources, nowhere);
    listing.draft.run = run;
    listing.draft.need = need_of(context->arena, run);
    real_declare(&listing.draft);
    typing_enter(&listing.draft);
    unit_enter(&listing.draft);
    add_all(&listing, run);
    contents = keep(&listing);
    vec_release(&listing.rows);
    scope_release(&listing.missing);
    draft_release(&listing.draft);
    diags_free(nowhere);
    return contents;
}
