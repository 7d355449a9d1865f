#include "lang/template.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/vec.h"
#include "grammar/parser.tab.h"
#include "lang/given.h"
#include "lang/noise.h"
#include "lang/parse.h"
#include "lang/piece.h"
#include "lang/reading.h"
#include "source/diag.h"

/* Names the template itself declares, its parameters first. */
struct naming {
    const struct parse_context *context;
    struct tree_run run;
    struct reading reading;
    VEC(struct tree_ident) own;
    struct pieces pieces; /* comments left out */
    VEC(struct template_word) words;
    struct template *out;
    bool *used; /* by parameter */
};

/* Where the walk over the tokens stands. */
struct walk {
    struct naming *naming;
    size_t at;
    int parens;
    bool head, variables; /* in PARAMETERS, in VAR */
};

static void complain(const struct naming *naming, struct span span,
                     const char *hint, const char *what, const char *name)
{
    diag_add(naming->context->diags, DIAG_ERROR, span, hint, what, name);
}

/* ---- what is declared ---- */

static void declare(struct naming *naming, const struct tree_ident *ident)
{
    for (size_t i = 0; i < naming->own.n; i++)
        if (naming->own.at[i].name == ident->name) {
            diag_add(naming->context->diags, DIAG_ERROR, ident->span,
                     "choose another name", "'%s' is declared twice",
                     given_spelling(naming->context, ident));
            diag_also(naming->context->diags, naming->own.at[i].span,
                      "it is declared here");
            return;
        }
    vec_push(&naming->own, *ident);
}

static void declare_variables(struct naming *naming,
                              const struct tree_body *body)
{
    for (const struct tree_var_block *block = body->blocks.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            declare(naming, &(struct tree_ident){NULL, var->name, var->span});
}

static void declare_all(struct naming *naming)
{
    const struct tree_review *review = &naming->run.review;
    const struct tree_parameter *parameter =
        naming->run.template.parameters.first;

    for (; parameter; parameter = parameter->next)
        declare(naming, parameter->name);
    for (const struct tree_hazard *at = review->hazards.first; at;
         at = at->next)
        declare(naming, at->name);
    for (const struct tree_requirement *at = review->requirements.first; at;
         at = at->next)
        declare(naming, at->name);
    for (const struct tree_body *at = review->bodies.first; at;
         at = at->next) {
        declare(naming, at->name);
        declare_variables(naming, at);
    }
}

/* ---- what a template must say, and what only its user can say ---- */

static void see_requirement(const struct naming *naming,
                            const struct tree_requirement *at)
{
    if (at->despite || at->despite_of.first || at->until_noticed ||
        at->within)
        complain(naming, at->name->span,
                 "write it behind the USE, where the faults are known",
                 "a template says no DESPITE and no EXCEPT%s", "");
    if (at->read_by.at)
        complain(naming, at->name->span,
                 "write it at the USE, with the name of who has read it",
                 "a template cannot say who has read the clause%s", "");
}

static void see_whole(const struct naming *naming)
{
    const struct tree_template *tree = &naming->run.template;
    struct span start = {naming->reading.file, 0, 0};

    if (!tree->name) {
        complain(naming, start,
                 "begin the text with TEMPLATE Name 'title' and end it with "
                 "END_TEMPLATE", "this text holds no template%s", "");
        return;
    }
    if (!tree->source.at)
        complain(naming, tree->name->span,
                 "write SOURCE '...': a standard, an accident, a practice of "
                 "the trade", "the template '%s' names no source",
                 given_spelling(naming->context, tree->name));
    if (!naming->run.review.requirements.first)
        complain(naming, tree->name->span, "write REQUIREMENTS",
                 "the template '%s' asks for nothing",
                 given_spelling(naming->context, tree->name));
    for (const struct tree_requirement *at =
             naming->run.review.requirements.first; at; at = at->next)
        see_requirement(naming, at);
}

/* ---- the words ---- */

static int kind_at(const struct naming *naming, size_t at)
{
    return at < naming->pieces.n ? naming->pieces.at[at].kind : 0;
}

static int kind_before(const struct walk *walk)
{
    return walk->at ? kind_at(walk->naming, walk->at - 1) : 0;
}

static bool is_known_word(const struct name *name)
{
    static const char *const known[] = {"power", "cold", "warm", "elapsed"};

    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(name->folded, known[i]) == 0)
            return true;
    return false;
}

/* A member, an argument, a type, a function, the template's own name. */
static bool stays(const struct walk *walk)
{
    int before = kind_before(walk);
    int behind = kind_at(walk->naming, walk->at + 1);

    if (before == LANG_DOT || before == LANG_TEMPLATE)
        return true;
    if (walk->parens > 0 && (behind == LANG_BECOMES || behind == LANG_GIVES))
        return true;
    return walk->variables && (before == LANG_COLON || before == LANG_OF);
}

static bool only_name(const struct walk *walk)
{
    size_t at = walk->at;

    if (at && kind_at(walk->naming, at - 1) == LANG_LEFT)
        at--;
    switch (at ? kind_at(walk->naming, at - 1) : 0) {
    case LANG_PRESSED: case LANG_READ: case LANG_COMMANDED:
        return true;
    default:
        return kind_at(walk->naming, walk->at + 1) == LANG_MOVES;
    }
}

static const struct tree_parameter *parameter_of(const struct naming *naming,
                                                 uint32_t number)
{
    const struct tree_parameter *at = naming->run.template.parameters.first;

    while (number-- > 0)
        at = at->next;
    return at;
}

/* A parameter that is no SIGNAL is an expression: nothing of it can be
 * named. */
static void see_parameter(const struct walk *walk, struct span span,
                          struct template_word *word)
{
    const struct tree_parameter *parameter =
        parameter_of(walk->naming, word->number);
    int behind = kind_at(walk->naming, walk->at + 1);

    walk->naming->used[word->number] = true;
    word->alone = kind_before(walk) == LANG_LEFT && behind == LANG_RIGHT;
    if (parameter->kind == TREE_SIGNAL)
        return;
    if (only_name(walk) || behind == LANG_DOT || behind == LANG_LEFT_SQUARE)
        complain(walk->naming, span, "declare it as a SIGNAL",
                 "a name is wanted here, and the parameter '%s' is none",
                 given_spelling(walk->naming->context, parameter->name));
    if (behind == LANG_BECOMES)
        complain(walk->naming, span, "assign a variable of the recorder",
                 "the parameter '%s' cannot be given a value here",
                 given_spelling(walk->naming->context, parameter->name));
}

static void take_name(const struct walk *walk, const struct piece *piece)
{
    struct naming *naming = walk->naming;
    struct span span = {naming->reading.file, piece->from, piece->to};
    const struct name *name =
        names_intern(naming->context->names,
                     naming->reading.text + piece->from,
                     piece->to - piece->from);
    struct template_word word = {.from = piece->from, .to = piece->to,
                                 .role = TEMPLATE_PARAMETER};

    if (stays(walk))
        return;
    while (word.number < naming->own.n &&
           naming->own.at[word.number].name != name)
        word.number++;
    if (word.number == naming->own.n) {
        if (!is_known_word(name) &&
            kind_at(naming, walk->at + 1) != LANG_LEFT)
            complain(naming, span,
                     "declare it in PARAMETERS: a template reaches only what "
                     "it is given", "the template declares no '%s'",
                     given_spelling(naming->context,
                                    &(struct tree_ident){NULL, name, span}));
        return;
    }
    if (word.number < naming->run.template.parameters.n)
        see_parameter(walk, span, &word);
    else
        word.role = TEMPLATE_OWN;
    vec_push(&naming->words, word);
}

static void take(struct walk *walk)
{
    const struct piece *piece = &walk->naming->pieces.at[walk->at];

    switch (piece->kind) {
    case LANG_PARAMETERS:
        walk->head = true;
        walk->naming->out->head_from = piece->from;
        break;
    case LANG_END_PARAMETERS:
        walk->head = false;
        walk->naming->out->head_to = piece->to;
        break;
    case LANG_VAR: walk->variables = true; break;
    case LANG_END_VAR: walk->variables = false; break;
    case LANG_LEFT: walk->parens++; break;
    case LANG_RIGHT: walk->parens--; break;
    case LANG_SEMICOLON: walk->parens = 0; break;
    case LANG_IDENT:
        if (!walk->head)
            take_name(walk, piece);
        break;
    default: break;
    }
}

static void take_all(struct naming *naming)
{
    struct walk walk = {.naming = naming};
    struct pieces *pieces = &naming->pieces;
    size_t n = 0;

    *pieces = pieces_of(&naming->reading);
    for (size_t i = 0; i < pieces->n; i++)
        if (pieces->at[i].kind != PIECE_COMMENT)
            pieces->at[n++] = pieces->at[i];
    pieces->n = n;
    for (; walk.at < pieces->n; walk.at++)
        take(&walk);
    for (uint32_t i = 0; i < naming->run.template.parameters.n; i++)
        if (!naming->used[i])
            complain(naming, parameter_of(naming, i)->name->span,
                     "take it out, or ask for something with it",
                     "nothing in the template reads the parameter '%s'",
                     given_spelling(naming->context,
                                    parameter_of(naming, i)->name));
}

/* ---- the whole ---- */

static void keep(struct naming *naming)
{
    struct arena *arena = naming->context->arena;
    size_t n = naming->words.n;
    struct template_word *words = arena_array(arena, n, sizeof *words);
    struct tree_template *tree = ARENA_NEW(arena, struct tree_template);

    if (n)
        memcpy(words, naming->words.at, n * sizeof *words);
    *tree = naming->run.template;
    naming->out->tree = tree;
    naming->out->file = naming->reading.file;
    naming->out->words = words;
    naming->out->n_words = (uint32_t)n;
}

bool template_read(const struct parse_context *context, uint32_t file,
                   enum tree_spelling spelling, struct template *out)
{
    struct naming naming = {.context = context, .out = out,
                            .run = {.spelling = spelling}};
    size_t errors = diags_errors(context->diags);

    *out = (struct template){0};
    if (!parse_text(context, file, PARSE_TEMPLATE, &naming.run))
        return false;
    naming.reading = (struct reading){.context = context, .file = file,
                                      .kind = PARSE_TEMPLATE};
    naming.reading.text =
        sources_text(context->sources, file, &naming.reading.n);
    naming.reading.flat_comments = noise_flat_comments(&naming.reading);
    naming.used = arena_array(context->arena,
                              naming.run.template.parameters.n,
                              sizeof *naming.used);
    see_whole(&naming);
    declare_all(&naming);
    if (diags_errors(context->diags) == errors)
        take_all(&naming);
    keep(&naming);
    vec_release(&naming.own);
    vec_release(&naming.words);
    vec_release(&naming.pieces);
    return diags_errors(context->diags) == errors;
}
