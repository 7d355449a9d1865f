#include "lang/marked.h"

#include <string.h>

#include "base/name.h"
#include "lang/build_expr.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/spelling.h"

/* Behind the blanks that follow this word at `at`; NULL: it is another. */
static const char *behind_word(const char *at, const char *word)
{
    if (!reading_word_at(at, word))
        return NULL;
    at += strlen(word);
    return at + strspn(at, " \t");
}

static bool heads_marked(const char *at)
{
    static const char *const words[] = {
        "FUNCTION", "FUNCTION_BLOCK", "ORGANIZATION_BLOCK", "DATA_BLOCK",
        "TYPE"};

    at += strspn(at, " \t\r\n");
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        const char *name = behind_word(at, words[i]);

        if (name && *name == '"')
            return true;
    }
    return false;
}

bool marked_text(const struct reading *reading)
{
    const char *at = reading->text;

    if (reading->kind != PARSE_CONTROL || reading->container)
        return false;
    if (heads_marked(at))
        return true;
    while ((at = strchr(at, '\n')) != NULL)
        if (heads_marked(++at))
            return true;
    return false;
}

struct tree_ident *marked_name(struct reading *reading, struct span span)
{
    bool hash = reading->text[span.from] == '#';
    struct span inner = {span.file, span.from + 1, span.to - !hash};
    struct tree_ident *ident;

    if (reading->kind != PARSE_CONTROL || inner.from >= inner.to ||
        (!hash && !reading->marked))
        return NULL;
    spelling_seen(reading, SPELLING_MARKED, span);
    ident = build_ident(reading, inner);
    ident->span = span;
    return ident;
}

/* ---- lines about a block ---- */

static bool is_about(const struct feed_token *token)
{
    static const char *const words[] = {"version", "author", "family",
                                        "name", "title"};

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (feeding_is_word(token, words[i]))
            return true;
    return false;
}

/* The same, without a value. */
static bool says_alone(const struct feed_token *token)
{
    return feeding_is_word(token, "know_how_protect") ||
           feeding_is_word(token, "read_only") ||
           feeding_is_word(token, "unlinked");
}

/* Everything up to the end of the line. */
static void skip_line(struct feed *feed, struct span begin)
{
    const char *text = feed->reading->text;
    uint32_t end = begin.to + (uint32_t)strcspn(text + begin.to, "\r\n");

    while (feeding_peek(feed).kind != LANG_END &&
           feeding_peek(feed).where.from < end)
        feeding_take(feed);
}

/* Behind a heading, no variables yet. */
static bool heading_stands(const struct feed *feed)
{
    return feed->last == LANG_IDENT && !feeding_in_variables(feed) &&
           !feeding_in_structure(feed) &&
           (feed->last2 == LANG_FUNCTION || feed->last2 == LANG_COLON ||
            feed->last2 == LANG_FUNCTION_BLOCK ||
            feed->last2 == LANG_DATA_BLOCK ||
            feed->last2 == LANG_PROGRAM || feed->last2 == LANG_TYPE);
}

static bool skip_about(struct feed *feed, const struct feed_token *token)
{
    int next = feeding_peek(feed).kind;

    if (heading_stands(feed) && says_alone(token))
        return true;
    if (!heading_stands(feed) || !is_about(token) ||
        (next != LANG_COLON && next != LANG_EQ))
        return false;
    skip_line(feed, token->where);
    return true;
}

/* Is it a variable of that name? */
static bool is_named(struct feed *feed)
{
    int next = feeding_peek(feed).kind;

    return next == LANG_BECOMES || next == LANG_DOT || next == LANG_LEFT ||
           next == LANG_LEFT_SQUARE || next == LANG_COUNTS ||
           next == LANG_SEMICOLON;
}

static bool skip_begin(struct feed *feed, const struct feed_token *token)
{
    if (feeding_stands_in(feed, LANG_DATA_BLOCK))
        return feeding_is_word(token, "begin") && !is_named(feed);
    return feeding_in_unit(feed) && !feeding_in_variables(feed) &&
           feeding_is_word(token, "begin") &&
           (feed->last == LANG_END_VAR || heading_stands(feed)) &&
           !is_named(feed);
}

/* REGION name ... END_REGION */
static bool skip_region(struct feed *feed, const struct feed_token *token)
{
    if (!feeding_in_unit(feed) || feeding_in_variables(feed) ||
        feed->bare != BARE_BEGINS)
        return false;
    if (feeding_is_word(token, "end_region"))
        return true;
    if (!feeding_is_word(token, "region") ||
        feeding_peek(feed).kind != LANG_WORD)
        return false;
    skip_line(feed, token->where);
    return true;
}

/* TYPE "name" VERSION : 0.1 STRUCT: no colon stands before STRUCT. */
static void put_colon(struct feed *feed, const struct feed_token *token)
{
    if (feed->reading->marked && feed->last == LANG_IDENT &&
        feed->last2 == LANG_TYPE && feeding_is_word(token, "struct"))
        feeding_queue_made(feed, LANG_COLON, token->where);
}

bool marked_skip(struct feed *feed, const struct feed_token *token)
{
    if (token->kind != LANG_WORD || feed->reading->kind != PARSE_CONTROL)
        return false;
    put_colon(feed, token);
    if (!skip_about(feed, token) && !skip_begin(feed, token) &&
        !skip_region(feed, token))
        return false;
    spelling_seen(feed->reading, SPELLING_ABOUT, token->where);
    return true;
}
