#include "lang/namespace.h"

#include "base/name.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/spelling.h"

void namespace_release(struct namespaces *namespaces)
{
    vec_release(&namespaces->names);
}

static bool is_known(const struct namespaces *all, const struct name *name)
{
    for (size_t i = 0; i < all->names.n; i++)
        if (all->names.at[i] == name)
            return true;
    return false;
}

/* name { . name } */
static void take_names(struct feed *feed, bool keep)
{
    struct feed_token token;

    do {
        if (feeding_next_is(feed, "internal"))
            feeding_take(feed);
        if (feeding_peek(feed).kind != LANG_WORD)
            return;
        token = feeding_take(feed);
        if (keep && !is_known(&feed->namespaces, token.value.ident->name))
            vec_push(&feed->namespaces.names, token.value.ident->name);
    } while (feeding_peek(feed).kind == LANG_DOT &&
             feeding_take(feed).kind == LANG_DOT);
}

static void pass_semicolon(struct feed *feed)
{
    if (feeding_peek(feed).kind == LANG_SEMICOLON)
        feeding_take(feed);
}

static bool begins(struct feed *feed, const struct feed_token *token)
{
    if (feed->opens.n || !feeding_is_word(token, "namespace") ||
        feeding_peek(feed).kind != LANG_WORD)
        return false;
    feed->namespaces.open++;
    take_names(feed, true);
    return true;
}

static bool ends(struct feed *feed, const struct feed_token *token)
{
    if (feed->opens.n || !feed->namespaces.open ||
        !feeding_is_word(token, "end_namespace"))
        return false;
    feed->namespaces.open--;
    pass_semicolon(feed);
    return true;
}

/* USING stands alone, or behind a heading. */
static bool uses(struct feed *feed, const struct feed_token *token)
{
    if ((feed->opens.n && feed->last != LANG_IDENT) ||
        feeding_in_variables(feed) || !feeding_is_word(token, "using") ||
        feeding_peek(feed).kind != LANG_WORD)
        return false;
    take_names(feed, true);
    while (feeding_peek(feed).kind == LANG_COMMA) {
        feeding_take(feed);
        take_names(feed, true);
    }
    pass_semicolon(feed);
    return true;
}

static bool qualifies(struct feed *feed, const struct feed_token *token)
{
    if (!feed->namespaces.names.n || feed->reading->in_order ||
        feed->last == LANG_DOT ||
        !is_known(&feed->namespaces, token->value.ident->name) ||
        feeding_peek(feed).kind != LANG_DOT)
        return false;
    feeding_take(feed);
    return true;
}

bool namespace_skip(struct feed *feed, const struct feed_token *token)
{
    if (token->kind != LANG_WORD || feed->reading->kind != PARSE_CONTROL)
        return false;
    if (!begins(feed, token) && !ends(feed, token) && !uses(feed, token) &&
        !qualifies(feed, token))
        return false;
    spelling_seen(feed->reading, SPELLING_NAMESPACE, token->where);
    return true;
}
