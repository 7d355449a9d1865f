#include "lang/expand.h"

#include <string.h>

#include "base/arena.h"
#include "base/divisor.h"
#include "base/name.h"
#include "base/text.h"
#include "base/vec.h"
#include "lang/chain.h"
#include "lang/given.h"
#include "lang/instance.h"
#include "lang/parse.h"
#include "source/diag.h"

struct expansion {
    const struct parse_context *context;
    struct sources *sources;
    const struct template *templates;
    size_t n_templates;
    struct tree_run *run;
    struct instance_words words; /* of the review text */
    size_t made;                 /* bytes so far */
    bool good;
};

static const struct template *find(struct expansion *e,
                                   const struct tree_use *use)
{
    struct arena *arena = e->context->arena;
    const struct name *nearest, **names =
        arena_array(arena, e->n_templates, sizeof *names);
    const char *hint = "name its file in a line TEMPLATES '...'; near CONTROL";

    for (size_t i = 0; i < e->n_templates; i++) {
        names[i] = e->templates[i].tree->name->name;
        if (names[i] == use->name->name)
            return &e->templates[i];
    }
    nearest = name_nearest(use->name->name, names, e->n_templates);
    for (size_t i = 0; nearest && i < e->n_templates; i++)
        if (names[i] == nearest)
            hint = arena_printf(arena, "did you mean '%s'?",
                                given_spelling(e->context,
                                               e->templates[i].tree->name));
    diag_add(e->context->diags, DIAG_ERROR, use->name->span, hint,
             "there is no template '%s'",
             given_spelling(e->context, use->name));
    return NULL;
}

/* The name before it stands before the names of what it asks for. */
static bool is_fresh(struct expansion *e, const struct tree_use *use)
{
    const struct tree_use *at = e->run->review.uses.first;

    while (at && at->called->name != use->called->name)
        at = at->next;
    if (!at)
        return true;
    diag_add(e->context->diags, DIAG_ERROR, use->called->span,
             "give one of the two another name",
             "the name '%s' stands before two USE",
             given_spelling(e->context, use->called));
    diag_also(e->context->diags, at->called->span, "the other one is here");
    return false;
}

/* ---- what was made becomes part of the review ---- */

static const char *joined(struct arena *arena, const char *before,
                          const char *between, const char *behind)
{
    if (!before || !behind)
        return before ? before : behind;
    return arena_printf(arena, "%s%s%s", before, between, behind);
}

/* What is asked comes from the template, all that stands around it from the
 * USE: whatever DESPITE says counts, but for POSSIBLE. */
static void stand_in(struct tree_requirement *at,
                     const struct tree_requirement *place)
{
    const struct tree_requirement asked = *at;

    if (at->form == TREE_POSSIBLE)
        return;
    *at = *place;
    at->next = asked.next;
    at->name = asked.name;
    at->title = asked.title;
    at->hazards = asked.hazards;
    at->refers_to = asked.refers_to;
    at->form = asked.form;
    at->a = asked.a;
    at->b = asked.b;
    at->c = asked.c;
    at->started_by = asked.started_by;
    at->cancelled_by = asked.cancelled_by;
    at->by = asked.by;
    at->limit = asked.limit;
    at->sampled = asked.sampled;
    at->span = asked.span;
}

static void take_requirements(struct expansion *e,
                              const struct tree_requirement *place,
                              const struct tree_run *made)
{
    struct arena *arena = e->context->arena;
    const char *source = place->use->template->source.at;
    struct tree_requirement *next, *at = made->review.requirements.first;

    for (; at; at = next) {
        next = at->next;
        stand_in(at, place);
        at->next = NULL;
        at->use = place->use;
        at->title.at = joined(arena, place->title.at, ": ", at->title.at);
        if (!at->refers_to.at)
            at->refers_to.at = source;
        at->refers_to.at =
            joined(arena, place->refers_to.at, "; ", at->refers_to.at);
        at->read_by = place->read_by;
        if (place->hazards.first)
            at->hazards = place->hazards;
        CHAIN_APPEND(&e->run->review.requirements, at);
    }
}

static void take_others(struct expansion *e,
                        const struct tree_requirement *place,
                        const struct tree_run *made)
{
    struct tree_review *review = &e->run->review;

    for (struct tree_body *next, *at = made->review.bodies.first; at;
         at = next) {
        next = at->next;
        at->next = NULL;
        CHAIN_APPEND(&review->bodies, at);
    }
    for (struct tree_hazard *next, *at = made->review.hazards.first;
         at && !place->hazards.first; at = next) {
        next = at->next;
        at->next = NULL;
        CHAIN_APPEND(&review->hazards, at);
    }
    for (struct tree_real *next, *at = made->reals.first; at; at = next) {
        next = at->next;
        at->next = NULL;
        CHAIN_APPEND(&e->run->reals, at);
    }
    e->run->even = divisor_common(e->run->even, made->even);
}

/* What the review text mentions, and what the made one does. */
static void take_mentions(struct expansion *e, const struct tree_run *made)
{
    struct tree_part *part = &e->run->review_part;
    const struct tree_part *more = &made->review_part;
    size_t n = part->n_mentions, m = more->n_mentions;
    struct tree_mention *all =
        arena_array(e->context->arena, n + m, sizeof *all);

    if (n)
        memcpy(all, part->mentions, n * sizeof *all);
    if (m)
        memcpy(all + n, more->mentions, m * sizeof *all);
    part->mentions = all;
    part->n_mentions = (uint32_t)(n + m);
}

/* ---- one use ---- */

static bool too_much(struct expansion *e, const struct tree_use *use,
                     size_t n)
{
    e->made += n;
    if (e->made <= EXPAND_ALL)
        return false;
    diag_add(e->context->diags, DIAG_ERROR, use->span,
             "split the review text, or name parts of what is handed over in "
             "a RECORDER",
             "what templates ask for is longer than %d MiB in all",
             EXPAND_ALL >> 20);
    return true;
}

static bool put_in(struct expansion *e, struct tree_requirement *place,
                   const struct template *template)
{
    struct instance instance = {0};
    struct tree_run made = {0};
    size_t errors = diags_errors(e->context->diags);
    uint32_t file;

    instance_make(e->context, &e->words, place->use, template, &instance);
    if (!too_much(e, place->use, instance.text.n)) {
        file = sources_add(e->sources,
                           sources_path(e->sources, template->file),
                           text_str(&instance.text), instance.text.n);
        sources_made(e->sources, file, place->use->span, instance.pieces.at,
                     instance.pieces.n);
        if (parse_text(e->context, file, PARSE_TEMPLATE, &made)) {
            take_requirements(e, place, &made);
            take_others(e, place, &made);
            take_mentions(e, &made);
        }
    }
    instance_release(&instance);
    return diags_errors(e->context->diags) == errors;
}

static void one(struct expansion *e, struct tree_requirement *place)
{
    struct tree_use *use = place->use;
    const struct template *template;

    use->called = place->name;
    template = find(e, use);
    if (!template || !is_fresh(e, use) ||
        !given_match(e->context, use, template->tree) ||
        !put_in(e, place, template)) {
        e->good = false;
        return;
    }
    use->number = e->run->review.uses.n;
    CHAIN_APPEND(&e->run->review.uses, use);
}

bool expand_uses(const struct parse_context *context,
                 struct sources *sources, const struct template *templates,
                 size_t n_templates, struct tree_run *run)
{
    struct expansion e = {.context = context, .sources = sources,
                          .templates = templates,
                          .n_templates = n_templates, .run = run,
                          .good = true};
    struct tree_requirement *next, *at = run->review.requirements.first;

    memset(&run->review.requirements, 0, sizeof run->review.requirements);
    for (; at; at = next) {
        next = at->next;
        at->next = NULL;
        if (at->form != TREE_USE) {
            CHAIN_APPEND(&run->review.requirements, at);
            continue;
        }
        if (!e.words.all.n)
            instance_words(context, at->name->span.file, &e.words);
        one(&e, at);
    }
    vec_release(&e.words.all);
    return e.good;
}
