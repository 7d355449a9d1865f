#include "lang/drawn.h"

#include <ctype.h>
#include <string.h>

#include "base/name.h"
#include "grammar/parser.tab.h"
#include "lang/block.h"
#include "lang/feeding.h"
#include "lang/reading.h"
#include "lang/skip.h"

static const char HINT[] = "write the body in Structured Text, or declare "
                           "the block UNKNOWN in the review text";

/* The LD of _LD_BODY; NULL: it is no such word. */
static const char *drawing(struct feed *feed, const char *word)
{
    static const char end[] = "_body";
    size_t n = strlen(word), m = sizeof end - 1;
    char *name;

    if (word[0] != '_' || n <= m + 1 || strcmp(word + n - m, end) != 0)
        return NULL;
    name = (char *)reading_printf(feed->reading, "%.*s", (int)(n - m - 1),
                                  word + 1);
    for (char *at = name; *at; at++)
        *at = (char)toupper((unsigned char)*at);
    return name;
}

/* An instruction that begins a list, with its operand. */
static bool is_instruction(const struct feed *feed,
                           const struct feed_token *token)
{
    static const char *const first[] = {"ld", "ldn", "cal", NULL};
    const char *word = token->value.ident->name->folded;
    const char *next = reading_peek(feed->reading, token->where.to);
    size_t i = 0;

    while (first[i] && strcmp(first[i], word) != 0)
        i++;
    return first[i] &&
           (isalnum((unsigned char)*next) || *next == '_' || *next == '%');
}

bool drawn_skip(struct feed *feed, const struct feed_token *token)
{
    const char *drawn;

    if (token->kind != LANG_WORD || feed->reading->kind != PARSE_CONTROL ||
        !feeding_in_unit(feed) || feeding_in_variables(feed) ||
        (feed->last != LANG_SEMICOLON && !block_closed(feed->last)))
        return false;
    drawn = drawing(feed, token->value.ident->name->folded);
    if (!drawn && is_instruction(feed, token))
        drawn = "IL";
    if (!drawn)
        return false;
    reading_error_body(feed->reading, token->where, HINT,
                       "the body of this block is in %s, which is not read",
                       drawn);
    skip_body(feed);
    return true;
}
