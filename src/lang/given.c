#include "lang/given.h"

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "source/diag.h"

struct match {
    const struct parse_context *context;
    const struct tree_use *use;
    const struct tree_template *template;
    const struct tree_given **found; /* by parameter */
    bool good;
};

static void refuse(struct match *match, struct span span, const char *hint,
                   const char *message)
{
    diag_add(match->context->diags, DIAG_ERROR, span, hint, "%s", message);
    match->good = false;
}

const char *given_spelling(const struct parse_context *context,
                           const struct tree_ident *ident)
{
    size_t n;
    const char *text = sources_text(context->sources, ident->span.file, &n);

    return arena_copy(context->arena, text + ident->span.from,
                      ident->span.to - ident->span.from);
}

static const char *spelling(const struct match *match,
                            const struct tree_ident *ident)
{
    return given_spelling(match->context, ident);
}

static const char *kind_words(enum tree_parameter_kind kind)
{
    switch (kind) {
    case TREE_CONDITION: return "a condition";
    case TREE_VALUE: return "a value that is a number";
    case TREE_SIGNAL: return "a name";
    case TREE_TIME: return "a time";
    case TREE_AMOUNT: break;
    }
    return "a number";
}

static const char *hint_of(enum tree_parameter_kind kind)
{
    switch (kind) {
    case TREE_CONDITION:
        return "write an expression that is TRUE or FALSE, such as PRESSED "
               "left";
    case TREE_VALUE: return "write what is compared, such as speed";
    case TREE_SIGNAL:
        return "write a name alone: of a control, a sensor, an actuator or a "
               "machine variable";
    case TREE_TIME: return "write a time such as T#400ms, or a CONSTANT";
    case TREE_AMOUNT: break;
    }
    return "write a number such as 25";
}

/* Can it be of this kind, by its form?  The check of types sees the rest. */
static bool may_be(enum tree_parameter_kind kind, const struct tree_expr *e)
{
    bool text = e->kind == TREE_OPAQUE;
    bool number = e->kind == TREE_INTEGER || e->kind == TREE_REAL;

    switch (kind) {
    case TREE_CONDITION:
        return !number && !text && e->kind != TREE_DURATION;
    case TREE_VALUE: return !text && e->kind != TREE_BOOL;
    case TREE_SIGNAL: return e->kind == TREE_REF && !e->parenthesised;
    case TREE_TIME:
        return (e->kind == TREE_DURATION || e->kind == TREE_REF) &&
               !e->parenthesised;
    case TREE_AMOUNT: break;
    }
    return number && !e->type_name && !e->parenthesised;
}

static void see_kind(struct match *match,
                     const struct tree_parameter *parameter,
                     const struct tree_given *given)
{
    bool limit = parameter->kind == TREE_TIME ||
                 parameter->kind == TREE_AMOUNT;
    const char *name = spelling(match, parameter->name);

    if (!may_be(parameter->kind, given->value))
        refuse(match, given->value->span, hint_of(parameter->kind),
               arena_printf(match->context->arena, "'%s' wants %s", name,
                            kind_words(parameter->kind)));
    if (!limit && given->reason.because.at)
        refuse(match, given->span, "leave BECAUSE out",
               arena_printf(match->context->arena,
                            "'%s' is no limit and needs no reason", name));
}

static void say_unknown(struct match *match, const struct tree_given *given)
{
    struct arena *arena = match->context->arena;
    const struct tree_parameter *at = match->template->parameters.first;
    const struct name *nearest, **names =
        arena_array(arena, match->template->parameters.n, sizeof *names);

    for (uint32_t i = 0; at; at = at->next)
        names[i++] = at->name->name;
    nearest = name_nearest(given->name->name, names,
                           match->template->parameters.n);
    refuse(match, given->name->span,
           nearest ? arena_printf(arena, "did you mean '%s'?",
                                  nearest->spelling)
                   : "take it out; what the template wants is shown with it",
           arena_printf(arena, "the template '%s' has no parameter '%s'",
                        spelling(match, match->template->name),
                        spelling(match, given->name)));
    if (!nearest)
        diag_also(match->context->diags, match->template->name->span,
                  "the template stands here");
}

static void take(struct match *match, const struct tree_given *given)
{
    const struct tree_parameter *at = match->template->parameters.first;
    uint32_t number = 0;

    for (; at && at->name->name != given->name->name; at = at->next)
        number++;
    if (!at) {
        say_unknown(match, given);
    } else if (match->found[number]) {
        refuse(match, given->name->span, "keep one of them",
               arena_printf(match->context->arena, "'%s' is given twice",
                            spelling(match, at->name)));
        diag_also(match->context->diags, match->found[number]->name->span,
                  "it is given here");
    } else {
        match->found[number] = given;
        see_kind(match, at, given);
    }
}

static void see_missing(struct match *match)
{
    const struct tree_parameter *at = match->template->parameters.first;
    struct text missing = {0};
    uint32_t n = 0;

    for (uint32_t i = 0; at; at = at->next, i++)
        if (!match->found[i] && !at->initial)
            text_printf(&missing, "%s'%s' (%s%s%s)", n++ ? ", " : "",
                        spelling(match, at->name),
                        kind_words(at->kind), at->title.at ? ": " : "",
                        at->title.at ? at->title.at : "");
    if (n)
        refuse(match, match->use->span,
               "write name := value for each, within the ( )",
               arena_printf(match->context->arena,
                            "the template '%s' wants %s%s",
                            spelling(match, match->template->name),
                            match->use->given.n ? "also " : "",
                            text_str(&missing)));
    text_release(&missing);
}

bool given_match(const struct parse_context *context, struct tree_use *use,
                 const struct tree_template *template)
{
    struct match match = {.context = context, .use = use,
                          .template = template, .good = true};

    match.found = arena_array(context->arena, template->parameters.n,
                              sizeof *match.found);
    for (const struct tree_given *at = use->given.first; at; at = at->next)
        take(&match, at);
    see_missing(&match);
    use->template = template;
    use->by_parameter = match.found;
    return match.good;
}
