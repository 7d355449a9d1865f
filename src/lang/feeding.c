#include "lang/feeding.h"

#include <string.h>

#include "base/name.h"
#include "lang/block.h"
#include "lang/reading.h"
#include "lang/scan.h"
#include "lang/tree.h"

/* At the end of an ACTION: goes back to where it was called. */
static bool goes_back(struct feed *feed)
{
    struct actions *actions = &feed->actions;
    struct waiting back;

    if (!actions->waiting.n || feed->reading->stopped)
        return false;
    back = actions->waiting.at[--actions->waiting.n];
    scan_close(feed->scanner);
    feed->scanner = back.scanner;
    feed->reading->at = back.at;
    if (back.returns) {
        feeding_give(feed, LANG_SEMICOLON, back.where);
        feeding_give(feed, LANG_END_REPEAT, back.where);
        feeding_give(feed, LANG_TRUE, back.where);
        feeding_give(feed, LANG_UNTIL, back.where);
    }
    return true;
}

void feeding_give(struct feed *feed, int kind, struct span where)
{
    struct feed_token token;

    memset(&token, 0, sizeof token);
    token.kind = kind;
    token.made = true;
    token.where = where;
    vec_push(&feed->made, token);
}

struct feed_token feeding_take(struct feed *feed)
{
    struct feed_token token;

    if (feed->has_ahead) {
        feed->has_ahead = false;
        return feed->ahead;
    }
    memset(&token, 0, sizeof token);
    do {
        if (feed->made.n)
            return feed->made.at[--feed->made.n];
        token.kind = scan_next(feed->scanner, &token.value, &token.where);
    } while (token.kind == LANG_END && goes_back(feed));
    if (feed->actions.waiting.n)
        token.called_at = feed->actions.waiting.at[0].call;
    return token;
}

struct feed_token feeding_peek(struct feed *feed)
{
    if (!feed->has_ahead) {
        feed->ahead = feeding_take(feed);
        feed->has_ahead = true;
    }
    return feed->ahead;
}

void feeding_queue(struct feed *feed, struct feed_token token)
{
    vec_push(&feed->queue, token);
}

static void queue_made(struct feed *feed, int kind, struct span where,
                       bool left_out)
{
    struct feed_token token;

    memset(&token, 0, sizeof token);
    token.kind = kind;
    token.made = true;
    token.left_out = left_out;
    token.where = where;
    feeding_queue(feed, token);
}

void feeding_queue_made(struct feed *feed, int kind, struct span where)
{
    queue_made(feed, kind, where, false);
}

void feeding_queue_left_out(struct feed *feed, int kind, struct span where)
{
    queue_made(feed, kind, where, true);
}

bool feeding_is_word(const struct feed_token *token, const char *folded)
{
    return token->kind == LANG_WORD &&
           strcmp(token->value.ident->name->folded, folded) == 0;
}

bool feeding_next_is(struct feed *feed, const char *folded)
{
    struct feed_token next = feeding_peek(feed);

    return feeding_is_word(&next, folded);
}

static const struct block *innermost(const struct feed *feed)
{
    return feed->opens.n ? feed->opens.at[feed->opens.n - 1].block : NULL;
}

bool feeding_in_variables(const struct feed *feed)
{
    const struct block *block = innermost(feed);

    return block && block->rank == BLOCK_VARIABLES;
}

bool feeding_in_structure(const struct feed *feed)
{
    const struct block *block = innermost(feed);

    return block && block->open == LANG_STRUCT;
}

bool feeding_in_configuration(const struct feed *feed)
{
    const struct block *block = innermost(feed);

    return block && (block->open == LANG_CONFIGURATION ||
                     block->open == LANG_RESOURCE);
}

bool feeding_in_unit(const struct feed *feed)
{
    int open = feed->opens.n ? feed->opens.at[0].block->open : 0;

    return open == LANG_PROGRAM || open == LANG_FUNCTION ||
           open == LANG_FUNCTION_BLOCK || open == LANG_DATA_BLOCK;
}
