#include "lang/feed.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/name.h"
#include "base/vec.h"
#include "lang/block.h"
#include "lang/reading.h"
#include "lang/refuse.h"
#include "lang/scan.h"
#include "lang/word.h"

struct open {
    const struct block *block;
    struct span where;
};

struct feed {
    struct reading *reading;
    struct scanner *scanner;
    VEC(struct feed_token) queue;
    size_t head;
    VEC(struct open) opens;
    struct feed_token ahead; /* read but not yet looked at */
    bool has_ahead;
    int last, last2;         /* kinds of the tokens before */
    int parens, prefixes;
};

struct feed *feed_open(struct reading *reading)
{
    struct feed *feed = calloc(1, sizeof *feed);

    if (!feed)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    feed->reading = reading;
    feed->scanner = scan_open(reading);
    return feed;
}

void feed_close(struct feed *feed)
{
    scan_close(feed->scanner);
    vec_release(&feed->queue);
    vec_release(&feed->opens);
    free(feed);
}

static struct feed_token take(struct feed *feed)
{
    struct feed_token token;

    if (feed->has_ahead) {
        feed->has_ahead = false;
        return feed->ahead;
    }
    memset(&token, 0, sizeof token);
    token.kind = scan_next(feed->scanner, &token.value, &token.where);
    return token;
}

static struct feed_token peek(struct feed *feed)
{
    if (!feed->has_ahead) {
        feed->ahead = take(feed);
        feed->has_ahead = true;
    }
    return feed->ahead;
}

/* ---- words ---- */

static bool is_word(const struct feed_token *token, const char *folded)
{
    return token->kind == LANG_WORD &&
           strcmp(token->value.ident->name->folded, folded) == 0;
}

static bool next_is(struct feed *feed, const char *folded)
{
    struct feed_token next = peek(feed);

    return is_word(&next, folded);
}

static bool stands_in(const struct feed *feed, int block)
{
    return feed->opens.n &&
           feed->opens.at[feed->opens.n - 1].block->open == block;
}

/* A step may begin, even where the `;` before it is missing. */
static bool step_begins(const struct feed *feed)
{
    if (!stands_in(feed, LANG_SCENARIO))
        return false;
    switch (feed->last) {
    case LANG_SEMICOLON: case LANG_STRING: case LANG_IDENT:
    case LANG_NUMBER: case LANG_DURATION: case LANG_TYPED: case LANG_TRUE:
    case LANG_FALSE: case LANG_RIGHT: case LANG_WAIT: case LANG_ON:
    case LANG_OFF:
        return true;
    default:
        return false;
    }
}

/* SCENARIO and a name, where a section may begin. */
static bool section_begins(struct feed *feed)
{
    return (feed->last == LANG_SEMICOLON || block_closed(feed->last) ||
            feed->opens.n == 1) && peek(feed).kind == LANG_WORD;
}

/* A word and a name directly in REVIEW, in no section of it. */
static bool line_begins(struct feed *feed)
{
    bool heading = feed->last == LANG_STRING ||
                   (feed->last == LANG_IDENT && feed->last2 == LANG_REVIEW);

    return feed->opens.n == 1 &&
           (heading || feed->last == LANG_SEMICOLON ||
            block_closed(feed->last)) && peek(feed).kind == LANG_WORD;
}

/* Does the word stand in its phrase? */
static bool in_phrase(struct feed *feed, const struct word *word)
{
    if (word->before == WORD_SECTION)
        return section_begins(feed);
    if (word->before == WORD_LINE)
        return line_begins(feed);
    if (word->before == WORD_STEP)
        return step_begins(feed);
    if (word->before == WORD_KIND)
        return feed->last == LANG_COLON && stands_in(feed, LANG_CONTROLS);
    return (!word->before || word->before == feed->last) &&
           (!word->before2 || word->before2 == feed->last2);
}

/* Words that are keywords only by what follows them. */
static int by_neighbour(struct feed *feed, const struct feed_token *token)
{
    bool review = feed->reading->kind == PARSE_REVIEW;

    if (is_word(token, "power") && review &&
        (next_is(feed, "may") || next_is(feed, "stays")))
        return LANG_POWER;
    if (is_word(token, "power") && step_begins(feed) &&
        (next_is(feed, "off") || next_is(feed, "on")))
        return LANG_POWER;
    if (is_word(token, "off") && feed->last == LANG_POWER)
        return LANG_OFF;
    if ((is_word(token, "pointer") || is_word(token, "reference")) &&
        next_is(feed, "to"))
        return LANG_POINTER;
    if (is_word(token, "continue") && peek(feed).kind == LANG_SEMICOLON)
        return LANG_CONTINUE;
    if (is_word(token, "jmp") && peek(feed).kind == LANG_WORD)
        return LANG_JMP;
    return LANG_IDENT;
}

/* Must an operand come next? */
static bool operand_begins(int last)
{
    switch (last) {
    case LANG_BECOMES: case LANG_LEFT: case LANG_COMMA: case LANG_LEFT_SQUARE:
    case LANG_EQ: case LANG_NE: case LANG_LT: case LANG_LE: case LANG_GT:
    case LANG_GE: case LANG_ADD: case LANG_SUB: case LANG_MUL: case LANG_DIV:
    case LANG_AND: case LANG_OR: case LANG_XOR: case LANG_NOT: case LANG_MOD:
    case LANG_IF: case LANG_ELSIF: case LANG_WHILE: case LANG_UNTIL:
    case LANG_CASE: case LANG_NEVER: case LANG_ALWAYS: case LANG_AFTER:
    case LANG_NO: case LANG_WHEN: case LANG_THEN: case LANG_UNLESS:
    case LANG_POSSIBLE: case LANG_AGAIN: case LANG_EXPECT:
        return true;
    default:
        return false;
    }
}

/* AND (a, b): an operator called as a function. */
static bool is_called(struct feed *feed, const struct word *word)
{
    return (word->token == LANG_AND || word->token == LANG_OR ||
            word->token == LANG_XOR || word->token == LANG_MOD) &&
           operand_begins(feed->last) && peek(feed).kind == LANG_LEFT;
}

static void elseif(struct feed *feed, struct feed_token *token)
{
    reading_error(feed->reading, token->where, "write ELSIF",
                  "'%s' is spelled ELSIF",
                  token->value.ident->name->spelling);
    token->kind = LANG_ELSIF;
}

/* END IF in two words. */
static void end_in_two(struct feed *feed, struct feed_token *token)
{
    struct feed_token next = take(feed);
    const struct word *word =
        word_find(next.value.ident->name, feed->reading->kind);
    const struct block *block = block_opened(word->token);

    token->where = span_join(token->where, next.where);
    token->kind = block->close;
    reading_error(feed->reading, token->where,
                  reading_printf(feed->reading, "write %s",
                                 block->close_word),
                  "'%s' is written as one word",
                  reading_quote(feed->reading, token->where));
}

static bool is_end_in_two(struct feed *feed, const struct feed_token *token)
{
    const struct word *word;
    struct feed_token next;

    if (!is_word(token, "end"))
        return false;
    next = peek(feed);
    if (next.kind != LANG_WORD)
        return false;
    word = word_find(next.value.ident->name, feed->reading->kind);
    return word && block_opened(word->token);
}

static void classify(struct feed *feed, struct feed_token *token)
{
    const struct word *word;

    if (token->kind != LANG_WORD)
        return;
    word = word_find(token->value.ident->name, feed->reading->kind);
    if (feed->last == LANG_DOT || (word && is_called(feed, word)))
        token->kind = LANG_IDENT;
    else if (word && in_phrase(feed, word)) {
        token->kind = word->token;
        token->word = word;
        if (word->token == LANG_VAR)
            token->value.number = word->value;
    } else if (is_word(token, "elseif"))
        elseif(feed, token);
    else if (is_end_in_two(feed, token))
        end_in_two(feed, token);
    else
        token->kind = by_neighbour(feed, token);
}

/* ---- skipping ---- */

/* The rest of a section that nobody knows. */
static void skip_unknown(struct feed *feed)
{
    const struct name *end = feed->reading->end_of_unknown;

    feed->reading->end_of_unknown = NULL;
    for (;;) {
        struct feed_token next = peek(feed);
        const struct word *word;
        const struct block *block;

        if (next.kind == LANG_END)
            return;
        if (next.kind == LANG_WORD) {
            word = word_find(next.value.ident->name, feed->reading->kind);
            block = word ? block_opened(word->token) : NULL;
            if (block && block->rank <= BLOCK_UNIT)
                return;
            block = word ? block_closed(word->token) : NULL;
            if (block && block->rank == BLOCK_REVIEW)
                return;
            if (next.value.ident->name == end ||
                (block && block->rank == BLOCK_UNIT)) {
                take(feed);
                return;
            }
        }
        take(feed);
    }
}

static bool starts_with_letter(const char *at)
{
    return isalpha((unsigned char)*at) || *at == '_';
}

/* Was the last token the name in FUNCTION_BLOCK Name? */
static bool after_heading(const struct feed *feed)
{
    return feed->last == LANG_IDENT && (feed->last2 == LANG_PROGRAM ||
                                        feed->last2 == LANG_FUNCTION_BLOCK);
}

/* METHOD and the like, where a declaration or statement may begin. */
static bool is_refused_unit(const struct feed *feed,
                            const struct feed_token *token)
{
    static const char *const words[] = {
        "method",    "property",      "action",  "class", "interface",
        "namespace", "configuration", "resource"};
    const char *after =
        reading_peek(feed->reading, feed->reading->at);

    if (token->kind != LANG_WORD || feed->has_ahead ||
        feed->reading->kind != PARSE_CONTROL || !starts_with_letter(after))
        return false;
    if (feed->last && feed->last != LANG_SEMICOLON &&
        !block_closed(feed->last) && !after_heading(feed))
        return false;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (is_word(token, words[i]))
            return true;
    return false;
}

static void skip_refused_unit(struct feed *feed,
                              const struct feed_token *token)
{
    const char *word = token->value.ident->name->folded;
    const char *end = reading_printf(feed->reading, "end_%s", word);
    struct feed_token next;

    refuse_construct(feed->reading, word, token->where);
    do
        next = take(feed);
    while (next.kind != LANG_END && !is_word(&next, end));
}

/* ---- blocks ---- */

static void queue(struct feed *feed, struct feed_token token)
{
    vec_push(&feed->queue, token);
}

static void queue_made(struct feed *feed, int kind, struct span where)
{
    struct feed_token token;

    memset(&token, 0, sizeof token);
    token.kind = kind;
    token.made = true;
    token.where = where;
    queue(feed, token);
}

static struct span behind(const struct feed *feed)
{
    struct span last = feed->reading->last;

    if (last.file)
        last.from = last.to;
    else
        last.file = feed->reading->file;
    return last;
}

/* Closes the innermost block, whose END_ word is missing before `next`. */
static void close_missing(struct feed *feed, const struct feed_token *next)
{
    struct reading *reading = feed->reading;
    struct open open = feed->opens.at[--feed->opens.n];
    const char *found = next->kind == LANG_END
                            ? "the end of the text"
                            : reading_printf(reading, "'%s'",
                                             reading_quote(reading,
                                                           next->where));

    if (!reading->stopped)
        reading_error(reading, open.where,
                      reading_printf(reading, "write %s%s before %s%s",
                                     open.block->close_word,
                                     open.block->rank == BLOCK_STATEMENT
                                         ? ";" : "",
                                     found,
                                     next->kind == LANG_END ? "" :
                                     reading_printf(reading, " in line %u",
                                         reading_line(reading,
                                                      next->where))),
                      "'%s' is not closed by '%s'",
                      reading_quote(reading, open.where),
                      open.block->close_word);
    queue_made(feed, open.block->close, behind(feed));
    if (open.block->rank == BLOCK_STATEMENT)
        queue_made(feed, LANG_SEMICOLON, behind(feed));
}

static void too_deep(struct feed *feed, struct span where)
{
    if (feed->reading->stopped)
        return;
    feed->reading->stopped = true;
    reading_error(feed->reading, where,
                  "name parts of it in variables, or split the block",
                  "this is nested more than %d levels deep; the rest of "
                  "this text is not read", READING_NESTING);
}

static bool in_variables(const struct feed *feed)
{
    return feed->opens.n && feed->opens.at[feed->opens.n - 1].block->rank ==
                                BLOCK_VARIABLES;
}

/* Words that open a block elsewhere, but not behind such a token. */
static bool opens_here(const struct feed *feed, int kind)
{
    if (in_variables(feed) && feed->last != LANG_COLON &&
        block_opened(kind)->rank == BLOCK_STATEMENT)
        return false; /* a name that is a keyword */
    switch (kind) {
    case LANG_IF: return feed->last != LANG_ONLY;
    case LANG_FOR: return feed->last != LANG_TRUE;
    case LANG_MAY: return feed->last != LANG_POWER;
    case LANG_FAULTS: return feed->last != LANG_NUMBER;
    case LANG_MECHANISM: return feed->last != LANG_IN;
    case LANG_WHILE: return block_statement_after(feed->last);
    default: return true;
    }
}

static void open_block(struct feed *feed, const struct block *block,
                       const struct feed_token *token)
{
    if (block->rank == BLOCK_UNIT || block->rank == BLOCK_VARIABLES)
        while (feed->opens.n &&
               feed->opens.at[feed->opens.n - 1].block->rank >= block->rank)
            close_missing(feed, token);
    vec_push(&feed->opens, ((struct open){block, token->where}));
    if (feed->opens.n > READING_NESTING)
        too_deep(feed, token->where);
}

static bool is_open(const struct feed *feed, const struct block *block)
{
    for (size_t i = 0; i < feed->opens.n; i++)
        if (feed->opens.at[i].block == block)
            return true;
    return false;
}

/* An END_ word that closes nothing: it stands for the END_ of the innermost
 * statement, or is left out.  False: left out. */
static bool close_nothing(struct feed *feed, const struct block *block,
                          struct feed_token *token)
{
    struct reading *reading = feed->reading;
    const struct open *top =
        feed->opens.n ? &feed->opens.at[feed->opens.n - 1] : NULL;

    if (top && top->block->rank == block->rank &&
        block->rank >= BLOCK_UNIT) {
        reading_error(reading, token->where,
                      reading_printf(reading, "write %s",
                                     top->block->close_word),
                      "'%s' cannot close the '%s' of line %u",
                      block->close_word, top->block->open_word,
                      reading_line(reading, top->where));
        token->kind = top->block->close;
        feed->opens.n--;
        return true;
    }
    reading_error(reading, token->where,
                  reading_printf(reading, "take it out, or write the %s "
                                 "that it closes", block->open_word),
                  "'%s' closes nothing: no '%s' is open",
                  block->close_word, block->open_word);
    if (peek(feed).kind == LANG_SEMICOLON)
        take(feed);
    return false;
}

static bool close_block(struct feed *feed, const struct block *block,
                        struct feed_token *token)
{
    if (!is_open(feed, block))
        return close_nothing(feed, block, token);
    while (feed->opens.at[feed->opens.n - 1].block != block)
        close_missing(feed, token);
    feed->opens.n--;
    return true;
}

/* ---- one token ---- */

static void count_nesting(struct feed *feed, const struct feed_token *token)
{
    bool prefix = false;

    switch (token->kind) {
    case LANG_LEFT: case LANG_LEFT_SQUARE: feed->parens++; break;
    case LANG_RIGHT: case LANG_RIGHT_SQUARE: feed->parens--; break;
    case LANG_SEMICOLON: feed->parens = 0; break;
    case LANG_NOT: case LANG_SUB: case LANG_ADD: prefix = true; break;
    default: break;
    }
    feed->prefixes = prefix ? feed->prefixes + 1 : 0;
    if (feed->parens > READING_NESTING || feed->prefixes > READING_NESTING)
        too_deep(feed, token->where);
}

/* Does a statement begin here although the variables are not closed? */
static bool statement_in_variables(struct feed *feed,
                                   const struct feed_token *token)
{
    const struct block *block = block_opened(token->kind);
    int next;

    if (!in_variables(feed) || feed->last == LANG_COLON ||
        feed->last == LANG_COMMA)
        return false;
    if (!(block && block->rank == BLOCK_STATEMENT) &&
        token->kind != LANG_IDENT)
        return false;
    next = peek(feed).kind;
    if (block)
        return next != LANG_COLON && next != LANG_COMMA;
    return feed->last == LANG_SEMICOLON &&
           (next == LANG_BECOMES || next == LANG_LEFT || next == LANG_DOT ||
            next == LANG_LEFT_SQUARE);
}

static void to_end(struct feed *feed, const struct feed_token *token)
{
    while (feed->opens.n)
        close_missing(feed, token);
}

/* Puts the next token, and what is missing before and behind it, into the
 * queue; puts nothing there when it is left out. */
static void advance(struct feed *feed)
{
    struct feed_token token;
    const struct block *block;

    if (feed->reading->end_of_unknown)
        skip_unknown(feed);
    token = take(feed);
    if (is_refused_unit(feed, &token)) {
        skip_refused_unit(feed, &token);
        return;
    }
    classify(feed, &token);
    count_nesting(feed, &token);
    if (token.kind == LANG_END)
        to_end(feed, &token);
    if (statement_in_variables(feed, &token))
        close_missing(feed, &token);
    block = block_opened(token.kind);
    if (block && opens_here(feed, token.kind)) {
        open_block(feed, block, &token);
        token.nest = 1;
    }
    block = block_closed(token.kind);
    if (block && !close_block(feed, block, &token))
        return;
    block = block_closed(token.kind);
    token.nest = block ? -1 : token.nest;
    queue(feed, token);
    if (block && block->rank == BLOCK_STATEMENT &&
        peek(feed).kind != LANG_SEMICOLON &&
        peek(feed).kind != LANG_BECOMES)
        queue_made(feed, LANG_SEMICOLON,
                   (struct span){token.where.file, token.where.to,
                                 token.where.to});
}

struct feed_token feed_next(struct feed *feed)
{
    struct feed_token token;

    if (feed->head == feed->queue.n) {
        feed->head = 0;
        vec_clear(&feed->queue);
        do
            advance(feed);
        while (!feed->queue.n);
    }
    token = feed->queue.at[feed->head++];
    feed->last2 = feed->last;
    feed->last = token.kind;
    return token;
}
