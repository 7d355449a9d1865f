#include "lang/skip.h"

#include <ctype.h>
#include <string.h>

#include "base/name.h"
#include "lang/action.h"
#include "lang/block.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/refuse.h"
#include "lang/spelling.h"
#include "source/diag.h"
#include "lang/word.h"

static const char *folded(const struct feed_token *token)
{
    return token->kind == LANG_WORD ? token->value.ident->name->folded : "";
}

static bool is_among(const char *word, const char *const *words)
{
    for (; *words; words++)
        if (strcmp(word, *words) == 0)
            return true;
    return false;
}

/* Does a letter follow what the scanner has read? */
static bool word_follows(const struct feed *feed)
{
    const char *after =
        reading_peek(feed->reading, feed->reading->at);

    return isalpha((unsigned char)*after) || *after == '_';
}

/* ---- up to an END_ word ---- */

/* Begins a POU, a section of types, or ends a POU. */
static bool is_outer(struct feed *feed, const struct feed_token *token)
{
    const struct word *word;
    const struct block *block;

    if (token->kind == LANG_END)
        return true;
    if (token->kind != LANG_WORD)
        return false;
    word = word_find(token->value.ident->name, feed->reading->kind);
    if (!word)
        return false;
    block = block_opened(word->token);
    if (!block)
        block = block_closed(word->token);
    return block && block->rank == BLOCK_UNIT;
}

/* Passes over what follows up to this word, or to the end of the POU; where
 * that was. */
static struct span skip_to(struct feed *feed, const char *end)
{
    struct span where = feed->reading->last;
    struct feed_token next = feeding_peek(feed);

    while (!is_outer(feed, &next)) {
        where = next.where;
        feeding_take(feed);
        if (feeding_is_word(&next, end))
            break;
        next = feeding_peek(feed);
    }
    return where;
}

void skip_body(struct feed *feed)
{
    skip_to(feed, "");
}

static const char *end_of(struct feed *feed, const char *word)
{
    return reading_printf(feed->reading, "end_%s", word);
}

/* ---- units ---- */

/* Was the last token the name in FUNCTION_BLOCK Name? */
static bool after_heading(const struct feed *feed)
{
    return feed->last == LANG_IDENT && (feed->last2 == LANG_PROGRAM ||
                                        feed->last2 == LANG_FUNCTION_BLOCK);
}

static bool may_begin(const struct feed *feed)
{
    return !feed->last || feed->last == LANG_START_CONTROL ||
           feed->last == LANG_SEMICOLON || block_closed(feed->last) ||
           after_heading(feed);
}

/* METHOD and the like within a POU. */
static bool skip_inner(struct feed *feed, const struct feed_token *token)
{
    static const char *const words[] = {"method", "property", "action",
                                        NULL};
    static const char *const chart[] = {"step", "initial_step", "transition",
                                        NULL};
    const char *word = folded(token);

    if (!feed->opens.n || !may_begin(feed))
        return false;
    if (strcmp(word, "action") == 0 && action_passed(feed, token))
        return true;
    if (is_among(word, words))
        refuse_construct(feed->reading, word, token->where);
    else if (is_among(word, chart) && feeding_in_unit(feed) &&
             !feeding_in_variables(feed))
        reading_error_once(feed->reading, token->where,
                           "write the steps as CASE of an enumeration",
                           "sequential charts (STEP, TRANSITION) are not "
                           "read in this version");
    else
        return false;
    skip_to(feed, end_of(feed, strncmp(word, "initial", 7) ? word : "step"));
    if (feeding_peek(feed).kind == LANG_SEMICOLON)
        feeding_take(feed);
    return true;
}

/* CLASS and the like in the place of a POU: read as a block that cannot be
 * read, so that who needs it is told why. */
static bool skip_outer(struct feed *feed, const struct feed_token *token)
{
    static const char *const words[] = {"class", "interface",
                                        "method", "property", "action",
                                        NULL};
    const char *word = folded(token);
    struct feed_token name;
    struct span end;

    if (feed->opens.n || !may_begin(feed) || !is_among(word, words))
        return false;
    if (strcmp(word, "action") == 0 && action_passed(feed, token))
        return true;
    reading_enter(feed->reading, READING_UNIT);
    refuse_construct(feed->reading, word, token->where);
    name = feeding_take(feed);
    name.kind = LANG_IDENT;
    feeding_queue_made(feed, LANG_FUNCTION_BLOCK, token->where);
    feeding_queue(feed, name);
    end = skip_to(feed, end_of(feed, word));
    feeding_queue_made(feed, LANG_END_FUNCTION_BLOCK, end);
    return true;
}

/* ---- headings ---- */

static bool skip_access(struct feed *feed, const struct feed_token *token)
{
    static const char *const harmless[] = {"public", "private", "protected",
                                           "internal", "final", NULL};
    const char *word = folded(token);
    bool abstract = strcmp(word, "abstract") == 0;
    bool section = feed->last == LANG_VAR || feed->last == LANG_CONSTANT ||
                   feed->last == LANG_RETAIN;

    if (section && (abstract || feeding_next_is(feed, "at")))
        return false; /* the name of a variable */
    if (!section && feed->last != LANG_PROGRAM &&
        feed->last != LANG_FUNCTION && feed->last != LANG_FUNCTION_BLOCK)
        return false;
    if (!abstract && !is_among(word, harmless))
        return false;
    if (abstract)
        refuse_construct(feed->reading, word, token->where);
    else
        spelling_seen(feed->reading, SPELLING_ACCESS, token->where);
    return true;
}

static bool skip_heritage(struct feed *feed, const struct feed_token *token)
{
    static const char *const words[] = {"extends", "implements", NULL};
    const char *word = folded(token);
    int kind;

    if (!after_heading(feed) || !is_among(word, words))
        return false;
    refuse_construct(feed->reading, word, token->where);
    do {
        feeding_take(feed);
        kind = feeding_peek(feed).kind;
        if (kind == LANG_COMMA || kind == LANG_DOT)
            feeding_take(feed);
    } while (kind == LANG_COMMA || kind == LANG_DOT);
    return true;
}

/* STRUCT EXTENDS other, and TYPE name EXTENDS other : STRUCT. */
static bool extends_structure(struct feed *feed,
                              const struct feed_token *token)
{
    bool named = feed->last == LANG_IDENT &&
                 feeding_stands_in(feed, LANG_TYPE) &&
                 (feed->last2 == LANG_TYPE || feed->last2 == LANG_SEMICOLON);
    struct feed_token extends = *token;

    if ((!named && feed->last != LANG_STRUCT) ||
        strcmp(folded(token), "extends") != 0)
        return false;
    extends.kind = LANG_EXTENDS;
    feeding_queue(feed, extends);
    return true;
}

/* ---- sections ---- */

static bool skip_section(struct feed *feed, const struct feed_token *token)
{
    static const struct {
        const char *word, *hint;
    } words[] = {
        {"var_inst", "declare it with VAR of a function block"},
        {"var_generic", "declare it with VAR CONSTANT"},
    };
    const char *word = folded(token);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(word, words[i].word) != 0)
            continue;
        reading_error(feed->reading, token->where, words[i].hint,
                      "'%s' is not read in this version",
                      reading_quote(feed->reading, token->where));
        skip_to(feed, "end_var");
        return true;
    }
    return false;
}

/* UNION in the place of a type: one that is refused. */
static bool skip_union(struct feed *feed, const struct feed_token *token)
{
    struct feed_token name = *token;
    struct span end;

    if (feed->last != LANG_COLON || strcmp(folded(token), "union") != 0)
        return false;
    refuse_construct(feed->reading, "union", token->where);
    end = skip_to(feed, "end_union");
    name.kind = LANG_IDENT;
    feeding_queue(feed, name);
    if (feeding_peek(feed).kind != LANG_SEMICOLON)
        feeding_queue_made(feed, LANG_SEMICOLON, end);
    return true;
}

/* REF_TO in the place of a type is read as POINTER TO, and refused so. */
static bool skip_reference(struct feed *feed,
                           const struct feed_token *token)
{
    struct feed_token pointer = *token;

    if ((feed->last != LANG_COLON && feed->last != LANG_OF) ||
        strcmp(folded(token), "ref_to") != 0)
        return false;
    pointer.kind = LANG_POINTER;
    feeding_queue(feed, pointer);
    feeding_queue_made(feed, LANG_TO, token->where);
    return true;
}

bool skip_out_of_scope(struct feed *feed, const struct feed_token *token)
{
    if (token->kind != LANG_WORD || feed->reading->kind != PARSE_CONTROL ||
        !strchr("acdefimnprstuv", folded(token)[0]))
        return false;
    if (strncmp(folded(token), "var_", 4) == 0)
        return skip_section(feed, token);
    if (skip_union(feed, token) || skip_reference(feed, token))
        return true;
    if (feed->has_ahead ? feed->ahead.kind != LANG_WORD
                        : !word_follows(feed))
        return false;
    return skip_access(feed, token) || skip_heritage(feed, token) ||
           extends_structure(feed, token) || skip_inner(feed, token) ||
           skip_outer(feed, token);
}
