#include "lang/stray.h"

#include <ctype.h>

#include "grammar/parser.tab.h"
#include "lang/block.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/word.h"

/* Begins or ends a block that stands outside of all others. */
static const struct block *outer(struct feed *feed,
                                 const struct feed_token *token, bool *ends)
{
    const struct word *word =
        token->kind == LANG_WORD
            ? word_find(token->value.ident->name, feed->reading->kind) : NULL;
    const struct block *opened = word ? block_opened(word->token) : NULL;
    const struct block *closed = word ? block_closed(word->token) : NULL;

    *ends = closed && closed->rank == BLOCK_UNIT;
    if (*ends)
        return closed;
    if (opened && (opened->rank == BLOCK_UNIT ||
                   (opened->rank == BLOCK_VARIABLES &&
                    (word->value == TREE_VAR_GLOBAL ||
                     word->value == TREE_VAR_CONFIG ||
                     word->value == TREE_VAR_ACCESS))))
        return opened;
    return NULL;
}

static void pass_over(struct feed *feed)
{
    bool ends = false;

    for (;;) {
        struct feed_token next = feeding_peek(feed);

        if (next.kind == LANG_END)
            return;
        if (outer(feed, &next, &ends) && !ends)
            return;
        feeding_take(feed);
        if (ends)
            return;
    }
}

bool stray_outside(struct feed *feed, const struct feed_token *token)
{
    struct reading *reading = feed->reading;

    if (feed->opens.n || token->kind != LANG_IDENT || !reading->run ||
        reading->kind != PARSE_CONTROL || reading->stopped ||
        reading->container ||
        reading_word_at(reading->text + token->where.from, "REVIEW"))
        return false;
    reading_error(reading, token->where,
                  "statements and variables stand within PROGRAM Name and "
                  "END_PROGRAM",
                  "expected 'PROGRAM', 'FUNCTION_BLOCK', 'FUNCTION', 'TYPE' "
                  "or 'VAR_GLOBAL', found '%s'",
                  reading_quote(reading, token->where));
    pass_over(feed);
    return true;
}

/* `: BOOL;`, `: Mode;`, `: INT := 5;`, and not `: x := TRUE;` behind a label
 * to jump to. */
static bool type_follows(const struct feed *feed, size_t colon)
{
    static const char *const types[] = {
        "BOOL", "BYTE", "WORD", "DWORD", "LWORD", "SINT", "INT", "DINT",
        "LINT", "USINT", "UINT", "UDINT", "ULINT", "TIME", "LTIME", "REAL",
        "LREAL", "STRING", "WSTRING", "ARRAY", "DATE", "TOD", "DT"};
    const char *at = reading_peek(feed->reading, colon + 1);

    for (size_t i = 0; i < sizeof types / sizeof *types; i++)
        if (reading_word_at(at, types[i]))
            return true;
    while (isalnum((unsigned char)*at) || *at == '_')
        at++;
    return *reading_peek(feed->reading,
                         (size_t)(at - feed->reading->text)) == ';';
}

/* Right behind the heading of a POU, or behind other variables. */
static bool variables_may_begin(const struct feed *feed)
{
    const struct block *block =
        feed->opens.n == 1 ? feed->opens.at[0].block : NULL;

    if (!block || (block->open != LANG_PROGRAM &&
                   block->open != LANG_FUNCTION &&
                   block->open != LANG_FUNCTION_BLOCK))
        return false;
    return feed->last == LANG_END_VAR ||
           (feed->last == LANG_IDENT &&
            (feed->last2 == block->open || feed->last2 == LANG_COLON));
}

void stray_variables(struct feed *feed, const struct feed_token *token)
{
    struct feed_token next, var = {.kind = LANG_VAR, .made = true, .nest = 1,
                                   .where = token->where};

    if (token->kind != LANG_IDENT || feed->reading->kind != PARSE_CONTROL ||
        !variables_may_begin(feed))
        return;
    next = feeding_peek(feed);
    if (next.kind != LANG_COMMA &&
        (next.kind != LANG_COLON || !type_follows(feed, next.where.from)))
        return;
    reading_error(feed->reading, token->where,
                  "write VAR, VAR_INPUT or VAR_OUTPUT before them",
                  "these variables stand behind no VAR");
    vec_push(&feed->opens,
             ((struct open){.block = block_opened(LANG_VAR),
                            .where = token->where}));
    feeding_queue(feed, var);
}
