#include "lang/instance.h"

#include <string.h>

#include "base/name.h"
#include "lang/noise.h"
#include "lang/reading.h"

/* An instance under way. */
struct making {
    const struct parse_context *context;
    const struct instance_words *words;
    const struct tree_use *use;
    const struct template *template;
    const char *text; /* of the template */
    struct instance *out;
    uint32_t insertions;
};

void instance_words(const struct parse_context *context, uint32_t file,
                    struct instance_words *out)
{
    struct reading reading = {.context = context, .file = file,
                              .kind = PARSE_REVIEW};

    reading.text = sources_text(context->sources, file, &reading.n);
    reading.flat_comments = noise_flat_comments(&reading);
    out->file = file;
    out->all = pieces_of(&reading);
}

/* ---- what the user gave ---- */

static void put(struct making *making, const char *bytes, size_t n,
                struct span origin)
{
    struct source_piece piece = {.from = (uint32_t)making->out->text.n,
                                 .number = making->insertions,
                                 .origin = origin};

    text_add_bytes(&making->out->text, bytes, n);
    piece.to = (uint32_t)making->out->text.n;
    vec_push(&making->out->pieces, piece);
}

static size_t first_within(const struct pieces *pieces, struct span span)
{
    size_t low = 0, high = pieces->n;

    while (low < high) {
        size_t middle = low + (high - low) / 2;

        if (pieces->at[middle].from < span.from)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Its tokens in one line, comments left out. */
static void put_words(struct making *making, struct span span)
{
    const struct pieces *all = &making->words->all;
    const char *text;
    bool gap = false;
    size_t n, first = first_within(all, span);

    text = sources_text(making->context->sources, span.file, &n);
    for (size_t i = first; i < all->n && all->at[i].to <= span.to; i++) {
        const struct piece *piece = &all->at[i];
        struct span origin = {span.file, piece->from, piece->to};

        gap = gap || piece->blanks || piece->lines;
        if (piece->kind == PIECE_COMMENT) {
            gap = true;
            continue;
        }
        if (gap && i > first)
            text_add_char(&making->out->text, ' ');
        put(making, text + piece->from, piece->to - piece->from, origin);
        gap = false;
    }
}

static bool stands_alone(const struct tree_expr *value)
{
    return value->parenthesised || value->kind == TREE_INTEGER ||
           value->kind == TREE_REAL || value->kind == TREE_REF ||
           value->kind == TREE_DURATION;
}

static void put_given(struct making *making, const struct tree_expr *value,
                      bool alone)
{
    struct span before = value->span, behind = value->span;

    making->insertions++;
    alone = alone || stands_alone(value);
    before.to = before.from;
    behind.from = behind.to;
    if (!alone)
        put(making, "(", 1, before);
    put_words(making, value->span);
    if (!alone)
        put(making, ")", 1, behind);
}

/* A limit that the user leaves as it is. */
static void put_own(struct making *making, const struct tree_expr *value)
{
    text_add_bytes(&making->out->text, making->text + value->span.from,
                   value->span.to - value->span.from);
}

/* ---- the whole ---- */

/* "hands_", in the capitals of the USE. */
static void put_called(struct making *making)
{
    struct span span = making->use->called->span;
    size_t n;
    const char *text = sources_text(making->context->sources, span.file, &n);

    text_add_bytes(&making->out->text, text + span.from,
                   span.to - span.from);
    text_add_char(&making->out->text, '_');
}

static void put_word(struct making *making, const struct template_word *word)
{
    const struct tree_parameter *parameter =
        making->template->tree->parameters.first;
    const struct tree_given *given;

    if (word->role == TEMPLATE_OWN) {
        put_called(making);
        text_add_bytes(&making->out->text, making->text + word->from,
                       word->to - word->from);
        return;
    }
    for (uint32_t i = 0; i < word->number; i++)
        parameter = parameter->next;
    given = making->use->by_parameter[word->number];
    if (given)
        put_given(making, given->value, word->alone);
    else
        put_own(making, parameter->initial);
}

/* The head is for the reader of the template; its lines stay. */
static void copy(struct making *making, size_t from, size_t to)
{
    const struct template *template = making->template;

    for (size_t i = from; i < to; i++) {
        char c = making->text[i];
        bool head = i >= template->head_from && i < template->head_to;

        text_add_char(&making->out->text, head && c != '\n' ? ' ' : c);
    }
}

void instance_make(const struct parse_context *context,
                   const struct instance_words *words,
                   const struct tree_use *use,
                   const struct template *template, struct instance *out)
{
    struct making making = {.context = context, .words = words, .use = use,
                            .template = template, .out = out};
    size_t n, at = 0;

    making.text = sources_text(context->sources, template->file, &n);
    for (uint32_t i = 0; i < template->n_words; i++) {
        const struct template_word *word = &template->words[i];

        copy(&making, at, word->from);
        put_word(&making, word);
        at = word->to;
    }
    copy(&making, at, n);
}

void instance_release(struct instance *instance)
{
    text_release(&instance->text);
    vec_release(&instance->pieces);
}
