#include "lang/parts.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "lang/chain.h"
#include "lang/reading.h"
#include "source/diag.h"

/* Where a part stands; parts do not overlap. */
struct stretch {
    uint32_t from, to;
    struct tree_part *part;
};

struct stretches {
    VEC(struct stretch) all;
};

struct parts_before parts_begin(const struct tree_run *run)
{
    return (struct parts_before){run->pous.last, run->types.last,
                                 run->globals.last};
}

/* A POU without a name cannot be asked for: its mistakes are everyone's. */
static void add_pous(struct stretches *s, struct tree_pou *pou)
{
    for (; pou; pou = pou->next)
        if (pou->name->name->folded[0] != '?')
            vec_push(&s->all, ((struct stretch){pou->span.from,
                                                pou->span.to, &pou->part}));
}

static void add_types(struct stretches *s, struct tree_type_decl *decl)
{
    for (; decl; decl = decl->next)
        vec_push(&s->all, ((struct stretch){decl->span.from, decl->span.to,
                                            &decl->part}));
}

static uint32_t end_of(const struct tree_var *var)
{
    struct span span = span_join(var->span, var->type->span);

    if (var->whole.file)
        return var->whole.to;
    return var->initial ? span_join(span, var->initial->span).to : span.to;
}

/* "a, b : INT" is one stretch, kept by a; b gets a copy in the end. */
static void add_globals(struct stretches *s, struct tree_var_block *block)
{
    for (; block; block = block->next)
        for (struct tree_var *var = block->vars.first, *first = NULL; var;
             var = var->next) {
            if (first && first->type == var->type)
                continue;
            first = var;
            vec_push(&s->all, ((struct stretch){var->span.from,
                                                end_of(var), &var->part}));
        }
}

static void share_globals(struct tree_var_block *block)
{
    for (; block; block = block->next)
        for (struct tree_var *var = block->vars.first, *first = NULL; var;
             var = var->next) {
            if (first && first->type == var->type)
                var->part = first->part;
            else
                first = var;
        }
}

static int by_place(const void *left, const void *right)
{
    const struct stretch *a = left, *b = right;

    return (a->from > b->from) - (a->from < b->from);
}

/* In a container what stands behind a part belongs to it as well: the words
 * of its methods are not part of the text. */
static void spread(struct stretches *s)
{
    for (size_t i = 0; i < s->all.n; i++)
        s->all.at[i].to = i + 1 < s->all.n ? s->all.at[i + 1].from
                                           : UINT32_MAX;
}

static struct tree_part *part_at(const struct stretches *s, uint32_t at)
{
    size_t low = 0, high = s->all.n;

    while (low < high) {
        size_t middle = low + (high - low) / 2;

        if (s->all.at[middle].from <= at)
            low = middle + 1;
        else
            high = middle;
    }
    return low && at <= s->all.at[low - 1].to ? s->all.at[low - 1].part
                                              : NULL;
}

static void report(const struct tree_unread *unread, struct diags *diags)
{
    diag_add(diags, DIAG_ERROR, unread->span, unread->hint, "%s",
             unread->message);
}

static void give_errors(struct reading *reading, const struct stretches *s)
{
    struct tree_unread *next, *at = reading->held.first;
    struct tree_part rest = {0};

    for (; at; at = next) {
        struct tree_part *part =
            reading->stopped ? NULL : part_at(s, at->span.from);

        next = at->next;
        at->next = NULL;
        if (!part)
            part = &rest;
        CHAIN_APPEND(&part->unread, at);
    }
    parts_report(&rest, reading->context->diags);
}

static void give_mentions(const struct tree_mention *all, size_t n,
                          const struct stretches *s)
{
    size_t i = 0;

    for (size_t k = 0; k < s->all.n; k++) {
        struct tree_part *part = s->all.at[k].part;

        while (i < n && all[i].from < s->all.at[k].from)
            i++;
        part->mentions = all + i;
        while (i < n && all[i].from <= s->all.at[k].to)
            i++;
        part->n_mentions = (uint32_t)(all + i - part->mentions);
    }
}

static const struct tree_mention *keep_mentions(struct reading *reading)
{
    size_t n = reading->mentions.n;
    struct tree_mention *all = arena_array(reading->context->arena, n,
                                           sizeof *all);

    if (n)
        memcpy(all, reading->mentions.at, n * sizeof *all);
    vec_release(&reading->mentions);
    vec_release(&reading->edges);
    return all;
}

void parts_settle(struct reading *reading, struct parts_before before)
{
    struct tree_run *run = reading->run;
    struct tree_var_block *globals =
        before.globals ? before.globals->next : run->globals.first;
    size_t n = reading->mentions.n;
    const struct tree_mention *all = keep_mentions(reading);
    struct stretches s = {0};

    if (reading->kind != PARSE_CONTROL) {
        run->review_part.mentions = all;
        run->review_part.n_mentions = (uint32_t)n;
    } else {
        add_pous(&s, before.pou ? before.pou->next : run->pous.first);
        add_types(&s, before.type ? before.type->next : run->types.first);
        add_globals(&s, globals);
        if (s.all.n)
            qsort(s.all.at, s.all.n, sizeof *s.all.at, by_place);
        if (reading->container)
            spread(&s);
        give_mentions(all, n, &s);
    }
    give_errors(reading, &s);
    share_globals(reading->kind != PARSE_CONTROL ? NULL : globals);
    vec_release(&s.all);
}

static bool said_before(const struct tree_part *part,
                        const struct tree_unread *unread)
{
    const struct tree_unread *at = part->unread.first;

    for (; unread->once && at != unread; at = at->next)
        if (strcmp(at->message, unread->message) == 0)
            return true;
    return false;
}

void parts_report(const struct tree_part *part, struct diags *diags)
{
    parts_report_but(part, false, diags);
}

void parts_report_but(const struct tree_part *part, bool bodies,
                      struct diags *diags)
{
    const struct tree_unread *at = part->unread.first;

    for (; at; at = at->next)
        if (!said_before(part, at) && !(bodies && at->body))
            report(at, diags);
}

void parts_report_all(const struct tree_run *run, struct diags *diags)
{
    const struct tree_pou *pou = run->pous.first;
    const struct tree_type_decl *decl = run->types.first;
    const struct tree_var_block *block = run->globals.first;

    for (; pou; pou = pou->next)
        parts_report(&pou->part, diags);
    for (; decl; decl = decl->next)
        parts_report(&decl->part, diags);
    for (; block; block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            parts_report(&var->part, diags);
}
