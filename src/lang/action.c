#include "lang/action.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "grammar/parser.tab.h"
#include "lang/block.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/scan.h"

enum { MOST_DEEP = 16, MOST_CALLS = 2000 };

/* ---- finding ---- */

/* Walks over a text word by word. */
struct walk {
    const struct reading *reading;
    size_t at;             /* behind the word */
    size_t from;           /* its begin */
    bool begins;           /* a POU or an ACTION may begin here */
};

static size_t behind_comment(const struct walk *w, size_t at)
{
    const char *text = w->reading->text;
    bool round = text[at] == '(';
    unsigned depth = 1;

    for (at += 2; at + 1 < w->reading->n && depth;) {
        bool opens = !memcmp(text + at, round ? "(*" : "/*", 2) &&
                     !w->reading->flat_comments;
        bool closes = !memcmp(text + at, round ? "*)" : "*/", 2);

        depth += opens;
        depth -= closes;
        at += opens || closes ? 2 : 1;
    }
    return at;
}

static size_t behind_quotes(const struct walk *w, size_t at)
{
    const char *text = w->reading->text;
    char quote = text[at++];

    while (at < w->reading->n && text[at] != quote && text[at] != '\n')
        at += text[at] == '$' && at + 1 < w->reading->n ? 2 : 1;
    return at + 1;
}

/* Behind what stands at `at` and is no word. */
static size_t behind(const struct walk *w, size_t at)
{
    const char *text = w->reading->text;

    if (at + 1 < w->reading->n &&
        (!memcmp(text + at, "(*", 2) || !memcmp(text + at, "/*", 2)))
        return behind_comment(w, at);
    if (at + 1 < w->reading->n && !memcmp(text + at, "//", 2)) {
        while (at < w->reading->n && text[at] != '\n' && text[at] != '\r')
            at++;
        return at;
    }
    if (text[at] == '\'' || text[at] == '"')
        return behind_quotes(w, at);
    if (text[at] == '{')
        while (at < w->reading->n && text[at] != '}')
            at++;
    return at + 1;
}

/* The next word; false at the end. */
static bool next_word(struct walk *w)
{
    const char *text = w->reading->text;

    while (w->at < w->reading->n) {
        unsigned char c = (unsigned char)text[w->at];

        if (isalpha(c) || c == '_') {
            w->from = w->at;
            while (w->at < w->reading->n &&
                   (isalnum((unsigned char)text[w->at]) ||
                    text[w->at] == '_'))
                w->at++;
            return true;
        }
        w->begins = c == ';' || (w->begins && (isspace(c) || c == '(' ||
                                               c == '/' || c == '{'));
        w->at = behind(w, w->at);
    }
    return false;
}

static bool is_word(const struct walk *w, const char *word)
{
    return w->at - w->from == strlen(word) &&
           !strncasecmp(w->reading->text + w->from, word,
                        w->at - w->from);
}

static bool ends(const struct walk *w)
{
    return w->at - w->from > 4 &&
           !strncasecmp(w->reading->text + w->from, "end_", 4);
}

static const struct name *name_at(const struct walk *w)
{
    const struct parse_context *context = w->reading->context;

    return names_of(context->names,
                    arena_copy(context->arena, w->reading->text + w->from,
                               w->at - w->from));
}

/* Behind `ACTION name` and the colon, if there is one. */
static uint32_t body_begins(const struct walk *w)
{
    size_t at = w->at;

    while (at < w->reading->n && isspace((unsigned char)w->reading->text[at]))
        at++;
    return (uint32_t)(at < w->reading->n && w->reading->text[at] == ':'
                          ? at + 1 : w->at);
}

static void take_action(struct walk *w, struct actions *actions,
                        const struct walk *unit)
{
    struct action action = {.unit = name_at(unit)};

    if (!next_word(w))
        return;
    action.name = name_at(w);
    action.from = body_begins(w);
    while (next_word(w)) {
        action.returns |= is_word(w, "return");
        if (is_word(w, "end_action")) {
            action.to = (uint32_t)w->from;
            w->begins = true; /* whatever stood before END_ACTION */
            vec_push(&actions->all, action);
            return;
        }
    }
}

static bool is_unit(const struct walk *w)
{
    return is_word(w, "program") || is_word(w, "function_block");
}

void action_find(struct reading *reading, struct actions *actions)
{
    struct walk w = {.reading = reading, .begins = true};
    struct walk unit = {0};

    while (next_word(&w)) {
        bool begins = w.begins;

        w.begins = ends(&w);
        if (begins && is_word(&w, "action") && unit.at)
            take_action(&w, actions, &unit);
        else if (is_unit(&w) && next_word(&w))
            unit = w;
    }
}

void action_release(struct actions *actions)
{
    vec_release(&actions->all);
    for (size_t i = 0; i < actions->waiting.n; i++)
        scan_close(actions->waiting.at[i].scanner);
    vec_release(&actions->waiting);
}

/* ---- calls ---- */

static const struct action *find(const struct actions *actions,
                                 const struct name *name)
{
    for (size_t i = 0; i < actions->all.n; i++)
        if (actions->all.at[i].unit == actions->unit &&
            actions->all.at[i].name == name)
            return &actions->all.at[i];
    return NULL;
}

/* `name;` or `name();`, of which the name was read. */
static bool is_bare(struct feed *feed)
{
    if (feeding_peek(feed).kind == LANG_LEFT) {
        feeding_take(feed);
        if (feeding_peek(feed).kind != LANG_RIGHT)
            return false;
        feeding_take(feed);
    }
    if (feeding_peek(feed).kind != LANG_SEMICOLON)
        return false;
    feeding_take(feed);
    return true;
}

static void pass_statement(struct feed *feed)
{
    int kind;

    do
        kind = feeding_take(feed).kind;
    while (kind != LANG_SEMICOLON && kind != LANG_END);
}

bool action_called(struct feed *feed, const struct feed_token *token)
{
    struct actions *actions = &feed->actions;
    struct reading *reading = feed->reading;
    const struct action *action;
    struct waiting back = {.scanner = feed->scanner,
                           .call = token->where.from};

    if (token->kind != LANG_WORD || feed->bare != BARE_BEGINS ||
        !actions->all.n || feeding_in_variables(feed) ||
        !(action = find(actions, token->value.ident->name)))
        return false;
    if (!is_bare(feed)) {
        reading_error(reading, token->where,
                      "write its name and () alone",
                      "an ACTION takes no values, and gives none");
        pass_statement(feed);
        return true;
    }
    if (actions->waiting.n >= MOST_DEEP || ++actions->calls > MOST_CALLS) {
        reading_error_once(reading, token->where,
                           "call each ACTION from the body alone",
                           "ACTIONs call one another in a circle, or too "
                           "often");
        return true;
    }
    back.at = reading->at;
    back.end = action->to;
    back.where = token->where;
    back.returns = action->returns;
    if (actions->waiting.n)
        back.call = actions->waiting.at[0].call;
    back.opens = feed->opens.n;
    vec_push(&actions->waiting, back);
    if (action->returns)
        feeding_give(feed, LANG_REPEAT, token->where);
    feed->scanner = scan_open_part(reading, action->from, action->to);
    return true;
}

/* ---- RETURN ---- */

static bool is_loop(int open)
{
    return open == LANG_FOR || open == LANG_WHILE || open == LANG_REPEAT;
}

void action_return(struct feed *feed, struct feed_token *token)
{
    const struct actions *actions = &feed->actions;

    if (token->kind != LANG_RETURN || !actions->waiting.n)
        return;
    for (size_t i = actions->waiting.at[actions->waiting.n - 1].opens + 1;
         i < feed->opens.n; i++)
        if (is_loop(feed->opens.at[i].block->open))
            reading_error(feed->reading, token->where,
                          "leave the loop with EXIT, and put what follows "
                          "under an IF",
                          "RETURN in a loop of an ACTION is not read in this "
                          "version");
    token->kind = LANG_EXIT;
}

/* ---- where it stands ---- */

bool action_passed(struct feed *feed, const struct feed_token *token)
{
    const struct actions *actions = &feed->actions;
    struct feed_token next = *token;

    for (size_t i = 0; i < actions->all.n; i++) {
        const struct action *action = &actions->all.at[i];

        if (action->from <= token->where.to ||
            (i && actions->all.at[i - 1].from > token->where.to))
            continue;
        while (next.kind != LANG_END && next.where.from < action->to)
            next = feeding_take(feed);
        if (feeding_peek(feed).kind == LANG_SEMICOLON)
            feeding_take(feed);
        return true;
    }
    return false;
}
