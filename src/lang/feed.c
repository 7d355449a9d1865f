#include "lang/feed.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/name.h"
#include "base/vec.h"
#include "lang/action.h"
#include "lang/block.h"
#include "lang/drawn.h"
#include "lang/feeding.h"
#include "lang/marked.h"
#include "lang/namespace.h"
#include "lang/phrase.h"
#include "lang/reading.h"
#include "lang/scan.h"
#include "lang/skip.h"
#include "lang/spelling.h"
#include "lang/stray.h"
#include "lang/word.h"
#include "source/diag.h"

struct feed *feed_open(struct reading *reading)
{
    struct feed *feed = calloc(1, sizeof *feed);

    if (!feed)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    feed->reading = reading;
    feed->scanner = scan_open(reading);
    if (!reading->in_order && reading->kind == PARSE_CONTROL)
        action_find(reading, &feed->actions);
    return feed;
}

void feed_close(struct feed *feed)
{
    scan_close(feed->scanner);
    action_release(&feed->actions);
    namespace_release(&feed->namespaces);
    vec_release(&feed->queue);
    vec_release(&feed->opens);
    vec_release(&feed->names);
    vec_release(&feed->made);
    free(feed);
}

bool feeding_stands_in(const struct feed *feed, int block)
{
    return feed->opens.n &&
           feed->opens.at[feed->opens.n - 1].block->open == block;
}

/* Words that are keywords only by what follows them. */
static int by_neighbour(struct feed *feed, const struct feed_token *token)
{
    bool review = feed->reading->kind != PARSE_CONTROL;

    if (!strchr("ropcj", token->value.ident->name->folded[0]))
        return LANG_IDENT;
    if (feeding_is_word(token, "power") && review &&
        (feeding_next_is(feed, "may") || feeding_next_is(feed, "stays")))
        return LANG_POWER;
    if (feeding_is_word(token, "power") && phrase_step_begins(feed) &&
        (feeding_next_is(feed, "off") || feeding_next_is(feed, "on")))
        return LANG_POWER;
    if (feeding_is_word(token, "one") && feed->last == LANG_COLON &&
        feeding_stands_in(feed, LANG_FAULTS) && feeding_next_is(feed, "cause"))
        return LANG_ONE;
    if (feeding_is_word(token, "off") && feed->last == LANG_POWER)
        return LANG_OFF;
    if ((feeding_is_word(token, "pointer") ||
         feeding_is_word(token, "reference")) && feeding_next_is(feed, "to"))
        return LANG_POINTER;
    if (feeding_is_word(token, "continue") &&
        feeding_peek(feed).kind == LANG_SEMICOLON)
        return LANG_CONTINUE;
    if (feeding_is_word(token, "jmp") && feeding_peek(feed).kind == LANG_WORD)
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
    case LANG_AND_THEN: case LANG_OR_ELSE: case LANG_SETS: case LANG_RESETS:
    case LANG_TO: case LANG_BY:
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
           operand_begins(feed->last) && feeding_peek(feed).kind == LANG_LEFT;
}

/* Spellings of keywords that the standard does not know; 0: none. */
static int spelled_otherwise(struct feed *feed,
                             const struct feed_token *token)
{
    static const struct {
        const char *folded;
        int token;
        enum spelling kind;
    } words[] = {
        {"elseif", LANG_ELSIF, SPELLING_ELSEIF},
        {"functionblock", LANG_FUNCTION_BLOCK, SPELLING_RUN_ON},
        {"end_functionblock", LANG_END_FUNCTION_BLOCK, SPELLING_RUN_ON},
        {"organization_block", LANG_PROGRAM, SPELLING_RUN_ON},
        {"end_organization_block", LANG_END_PROGRAM, SPELLING_RUN_ON},
        {"persistent", LANG_RETAIN, SPELLING_PERSISTENT},
    };
    const char *folded = token->value.ident->name->folded;

    if (!strchr("efop", *folded))
        return 0;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i].folded, folded) == 0 &&
            (words[i].token != LANG_RETAIN || feed->last == LANG_VAR ||
             (feed->last2 == LANG_VAR && feed->last == LANG_RETAIN))) {
            spelling_seen(feed->reading, words[i].kind, token->where);
            return words[i].token;
        }
    return 0;
}

/* END IF in two words. */
static void end_in_two(struct feed *feed, struct feed_token *token)
{
    struct feed_token next = feeding_take(feed);
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

    if (!feeding_is_word(token, "end") || operand_begins(feed->last))
        return false; /* a variable may be called so */
    next = feeding_peek(feed);
    if (next.kind != LANG_WORD)
        return false;
    word = word_find(next.value.ident->name, feed->reading->kind);
    return word && block_opened(word->token);
}

/* Words of statements and declarations that exports also use as names. */
static bool may_be_name(int token)
{
    switch (token) {
    case LANG_AT: case LANG_BY: case LANG_TO: case LANG_DO: case LANG_OF:
    case LANG_TYPE: case LANG_EXIT: case LANG_RETURN: case LANG_CONSTANT:
    case LANG_RETAIN: case LANG_NON_RETAIN: case LANG_ARRAY:
    case LANG_STRUCT: case LANG_PROGRAM: case LANG_FUNCTION: case LANG_MOD:
        return true;
    default:
        return false;
    }
}

static bool declares_here(struct feed *feed)
{
    int next = feeding_peek(feed).kind;

    return feeding_in_variables(feed) &&
           (next == LANG_COLON || next == LANG_COMMA) &&
           feed->last != LANG_COLON && feed->last != LANG_BECOMES;
}

static bool is_declared(const struct feed *feed, const struct name *name)
{
    for (size_t i = 0; i < feed->names.n; i++)
        if (feed->names.at[i] == name)
            return true;
    return false;
}

/* Where only an operand or an assignment can stand. */
static bool is_operand(struct feed *feed)
{
    switch (feed->last) {
    case LANG_BECOMES: case LANG_LEFT: case LANG_NOT: case LANG_AND:
    case LANG_OR: case LANG_XOR: case LANG_EQ: case LANG_NE: case LANG_LT:
    case LANG_LE: case LANG_GT: case LANG_GE: case LANG_ADD: case LANG_SUB:
    case LANG_MUL: case LANG_DIV: case LANG_IF: case LANG_ELSIF:
    case LANG_COMMA: case LANG_GIVES: case LANG_LEFT_SQUARE: case LANG_MOD:
    case LANG_AND_THEN: case LANG_OR_ELSE: case LANG_WHILE: case LANG_UNTIL:
    case LANG_CASE: case LANG_SETS: case LANG_RESETS:
        return true;
    default:
        return feeding_peek(feed).kind == LANG_BECOMES ||
               feeding_peek(feed).kind == LANG_DOT ||
               (feed->opens.n && (feeding_next_is(feed, "s") ||
                                  feeding_next_is(feed, "r")));
    }
}

/* block(by := 2), whoever declares it. */
static bool is_argument(struct feed *feed)
{
    int next = feeding_peek(feed).kind;

    return (feed->last == LANG_LEFT || feed->last == LANG_COMMA) &&
           (next == LANG_BECOMES || next == LANG_GIVES);
}

static bool is_used_as_name(struct feed *feed, const struct word *word,
                            const struct feed_token *token)
{
    const struct name *name = token->value.ident->name;

    if (feed->reading->kind != PARSE_CONTROL || !may_be_name(word->token))
        return false;
    if (declares_here(feed)) {
        if (!is_declared(feed, name))
            vec_push(&feed->names, name);
    } else if (!is_argument(feed) &&
               (!is_declared(feed, name) || !is_operand(feed))) {
        return false;
    }
    spelling_seen(feed->reading, SPELLING_WORD, token->where);
    return true;
}

/* `x S= condition`, where a name has just ended: no name stands there. */
static bool sets(struct feed *feed, struct feed_token *token)
{
    bool set = feeding_is_word(token, "s");

    if ((feed->last != LANG_IDENT && feed->last != LANG_RIGHT_SQUARE) ||
        !(set || feeding_is_word(token, "r")) ||
        feeding_peek(feed).kind != LANG_EQ)
        return false;
    token->kind = set ? LANG_SETS : LANG_RESETS;
    token->where = span_join(token->where, feeding_take(feed).where);
    return true;
}

static void classify(struct feed *feed, struct feed_token *token)
{
    const struct word *word;

    if (token->kind != LANG_WORD)
        return;
    word = word_find(token->value.ident->name, feed->reading->kind);
    if (feed->last == LANG_DOT || (word && is_called(feed, word))) {
        token->kind = LANG_IDENT;
    } else if (sets(feed, token)) {
        return;
    } else if (word && is_used_as_name(feed, word, token)) {
        token->kind = LANG_IDENT;
    } else if (word && phrase_fits(feed, word)) {
        token->kind = word->token;
        token->word = word;
        if (word->token == LANG_VAR || word->token == LANG_COLOUR)
            token->value.number = word->value;
    } else if (is_end_in_two(feed, token)) {
        end_in_two(feed, token);
    } else {
        int other = spelled_otherwise(feed, token);

        token->kind = other ? other : by_neighbour(feed, token);
    }
}

/* Must a name come next? */
static bool name_begins(int last)
{
    switch (last) {
    case LANG_REVIEW: case LANG_PROGRAM: case LANG_FUNCTION:
    case LANG_FUNCTION_BLOCK: case LANG_DATA_BLOCK:
    case LANG_MECHANISM: case LANG_RECORDER:
    case LANG_SCENARIO: case LANG_CONFIGURATION: case LANG_RESOURCE:
    case LANG_TEMPLATE:
        return true;
    default:
        return false;
    }
}

/* PROGRAM If: told, and taken for the name that it is meant to be.  A word
 * that begins or ends a block around statements shows that the name is
 * missing. */
static void word_as_heading(struct feed *feed, struct feed_token *token)
{
    const struct block *block = block_opened(token->kind);

    if (!token->word || !name_begins(feed->last) ||
        block_closed(token->kind) ||
        (block && block->rank < BLOCK_STATEMENT))
        return;
    reading_error(feed->reading, token->where, "choose another name",
                  "'%s' is a word of %s and cannot be a name",
                  reading_quote(feed->reading, token->where),
                  token->word->ours ? "the review text" : "the language");
    token->kind = LANG_IDENT;
}

/* ---- skipping ---- */

/* The rest of a section that nobody knows. */
static void skip_unknown(struct feed *feed)
{
    const struct name *end = feed->reading->end_of_unknown;

    feed->reading->end_of_unknown = NULL;
    for (;;) {
        struct feed_token next = feeding_peek(feed);
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
                feeding_take(feed);
                return;
            }
        }
        feeding_take(feed);
    }
}

/* ---- blocks ---- */

static struct span behind(const struct feed *feed)
{
    struct span last = feed->reading->last;

    if (last.file)
        last.from = last.to;
    else
        last.file = feed->reading->file;
    return last;
}

static struct open pop(struct feed *feed)
{
    struct open open = feed->opens.at[--feed->opens.n];

    if (!feed->opens.n)
        reading_enter(feed->reading, READING_TOP);
    return open;
}

/* Some systems leave out the last END_ word.  Where a review text judges, the
 * text might have been cut off. */
static bool may_be_open(const struct feed *feed, const struct open *open,
                        const struct feed_token *next)
{
    const struct reading *reading = feed->reading;

    return next->kind == LANG_END && !feed->opens.n &&
           open->block->rank == BLOCK_UNIT &&
           reading->kind == PARSE_CONTROL && !reading->stopped &&
           !reading->run->review.name &&
           reading->run->spelling != TREE_STRICT;
}

/* Closes the innermost block, whose END_ word is missing before `next`. */
static void close_missing(struct feed *feed, const struct feed_token *next)
{
    struct reading *reading = feed->reading;
    struct open open = pop(feed);
    const char *found = next->kind == LANG_END
                            ? "the end of the text"
                            : reading_printf(reading, "'%s'",
                                             reading_quote(reading,
                                                           next->where));

    bool contained = reading->container && open.block->rank <= BLOCK_UNIT;
    bool allowed = contained || may_be_open(feed, &open, next);

    if (contained)
        spelling_seen(reading, SPELLING_CONTAINER, open.where);
    else if (allowed)
        diag_add(reading->context->diags, DIAG_WARNING, open.where,
                 reading_printf(reading, "see that nothing is missing at the "
                                "end of this text, and write %s",
                                open.block->close_word),
                 "'%s' is not closed by '%s'",
                 reading_quote(reading, open.where),
                 open.block->close_word);
    else if (!reading->stopped)
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
    if (allowed)
        feeding_queue_left_out(feed, open.block->close, behind(feed));
    else
        feeding_queue_made(feed, open.block->close, behind(feed));
    if (open.block->rank == BLOCK_STATEMENT)
        feeding_queue_made(feed, LANG_SEMICOLON, behind(feed));
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

/* Words that open a block elsewhere, but not behind such a token. */
static bool opens_here(const struct feed *feed, int kind)
{
    if (feeding_in_variables(feed) && feed->last != LANG_COLON &&
        feed->last != LANG_OF &&
        block_opened(kind)->rank == BLOCK_STATEMENT)
        return false; /* a name that is a keyword */
    if (kind == LANG_PROGRAM && feeding_in_configuration(feed))
        return false; /* an instance of one */
    if (kind == LANG_PROGRAM && feed->last == LANG_COLON &&
        feed->reading->kind == PARSE_REVIEW)
        return false; /* a fault of one */
    switch (kind) {
    case LANG_IF: return feed->last != LANG_ONLY;
    case LANG_FOR: return feed->last != LANG_TRUE;
    case LANG_MAY: return feed->last != LANG_POWER &&
                          !feeding_stands_in(feed, LANG_INTENDED);
    case LANG_FAULTS: return feed->last != LANG_NUMBER;
    case LANG_MECHANISM: return feed->last != LANG_IN;
    case LANG_WHILE: return block_statement_after(feed->last);
    default: return true;
    }
}

/* A POU pays for its own mistakes; so does a type or a global. */
static void enter(struct feed *feed, const struct block *block)
{
    bool unit = block->open == LANG_PROGRAM || block->open == LANG_FUNCTION ||
                block->open == LANG_FUNCTION_BLOCK ||
                block->open == LANG_DATA_BLOCK;

    reading_enter(feed->reading, unit ? READING_UNIT
                  : block->open == LANG_CONFIGURATION ? READING_TOP
                                                      : READING_SECTION);
    vec_clear(&feed->names);
}

static void open_block(struct feed *feed, const struct block *block,
                       const struct feed_token *token)
{
    if (block->rank >= BLOCK_UNIT && block->rank <= BLOCK_VARIABLES)
        while (feed->opens.n &&
               feed->opens.at[feed->opens.n - 1].block->rank >= block->rank)
            close_missing(feed, token);
    if (!feed->opens.n)
        enter(feed, block);
    vec_push(&feed->opens,
             ((struct open){block, token->where, false,
                            token->kind == LANG_VAR &&
                                token->value.number == TREE_VAR_CONFIG}));
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

/* An END_ word goes with its `;`. */
static bool left_out(struct feed *feed)
{
    if (feeding_peek(feed).kind == LANG_SEMICOLON)
        feeding_take(feed);
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

    if (reading->mistakes > 0 && block->rank == BLOCK_STATEMENT)
        return left_out(feed); /* its beginning was lost to a mistake */
    if (top && top->block->rank == block->rank &&
        block->rank >= BLOCK_UNIT) {
        reading_error(reading, token->where,
                      reading_printf(reading, "write %s",
                                     top->block->close_word),
                      "'%s' cannot close the '%s' of line %u",
                      block->close_word, top->block->open_word,
                      reading_line(reading, top->where));
        token->kind = top->block->close;
        pop(feed);
        return true;
    }
    if (feed->loose_else && block->open == LANG_IF) {
        feed->loose_else = false;
        return left_out(feed);
    }
    reading_error(reading, token->where,
                  reading_printf(reading, "take it out, or write the %s "
                                 "that it closes", block->open_word),
                  "'%s' closes nothing: no '%s' is open",
                  block->close_word, block->open_word);
    return left_out(feed);
}

/* Whatever follows is read as if an UNTIL stood there. */
static void no_until(struct feed *feed, const struct feed_token *end)
{
    reading_error(feed->reading, end->where,
                  "write UNTIL and the condition on which the loop ends "
                  "before it", "this REPEAT has no UNTIL");
    feeding_queue_made(feed, LANG_UNTIL, end->where);
    feeding_queue_made(feed, LANG_TRUE, end->where);
}

static bool close_block(struct feed *feed, const struct block *block,
                        struct feed_token *token)
{
    if (!is_open(feed, block))
        return close_nothing(feed, block, token);
    while (feed->opens.at[feed->opens.n - 1].block != block)
        close_missing(feed, token);
    if (block->open == LANG_REPEAT &&
        !feed->opens.at[feed->opens.n - 1].until)
        no_until(feed, token);
    pop(feed);
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

    if (!feeding_in_variables(feed) || feed->last == LANG_COLON ||
        feed->last == LANG_COMMA || feed->last == LANG_OF)
        return false;
    if (!(block && block->rank == BLOCK_STATEMENT) &&
        token->kind != LANG_IDENT)
        return false;
    next = feeding_peek(feed).kind;
    if (block)
        return next != LANG_COLON && next != LANG_COMMA;
    if (feed->opens.at[feed->opens.n - 1].paths)
        return false;
    return feed->last == LANG_SEMICOLON &&
           (next == LANG_BECOMES || next == LANG_LEFT || next == LANG_DOT ||
            next == LANG_LEFT_SQUARE || feeding_next_is(feed, "s") ||
            feeding_next_is(feed, "r"));
}

/* No `;` behind END_IF and the like. */
static void let_go(struct feed *feed, struct span end)
{
    feeding_queue_made(feed, LANG_SEMICOLON,
                       (struct span){end.file, end.to, end.to});
    feed->bare = BARE_BEGINS;
    if (feed->reading->kind == PARSE_CONTROL)
        spelling_seen(feed->reading, SPELLING_SEMICOLON, end);
}

static void to_end(struct feed *feed, const struct feed_token *token)
{
    while (feed->opens.n)
        close_missing(feed, token);
}

/* A path alone is a call: `block;` is read as `block();`. */
static void bare_call(struct feed *feed, const struct feed_token *token)
{
    bool starts = feed->bare == BARE_BEGINS;

    if (token->kind == LANG_SEMICOLON && feed->bare == BARE_PATH &&
        feed->reading->kind == PARSE_CONTROL &&
        !feeding_in_variables(feed) && !feeding_in_structure(feed) &&
        feeding_in_unit(feed)) {
        spelling_seen(feed->reading, SPELLING_BARE_CALL, token->where);
        feeding_queue_made(feed, LANG_LEFT, token->where);
        feeding_queue_made(feed, LANG_RIGHT, token->where);
    }
    if (block_statement_after(token->kind))
        feed->bare = BARE_BEGINS;
    else if (token->kind == LANG_IDENT &&
             (starts || (feed->bare == BARE_PATH && feed->last == LANG_DOT)))
        feed->bare = BARE_PATH;
    else if (!(token->kind == LANG_DOT && feed->bare == BARE_PATH))
        feed->bare = BARE_NOT;
}

/* Whose ACTIONs may be called; a FUNCTION has none. */
static void note_unit(struct feed *feed, const struct feed_token *token)
{
    if (feed->last == LANG_FUNCTION)
        feed->actions.unit = NULL;
    else if ((feed->last == LANG_PROGRAM ||
              feed->last == LANG_FUNCTION_BLOCK) &&
             (token->kind == LANG_WORD || token->kind == LANG_IDENT))
        feed->actions.unit = token->value.ident->name;
}

/* Puts the next token, and what is missing before and behind it, into the
 * queue; puts nothing there when it is left out. */
static void advance(struct feed *feed)
{
    struct feed_token token;
    const struct block *block;

    if (feed->reading->end_of_unknown)
        skip_unknown(feed);
    token = feeding_take(feed);
    if (marked_skip(feed, &token) || namespace_skip(feed, &token) ||
        action_called(feed, &token) || drawn_skip(feed, &token) ||
        skip_out_of_scope(feed, &token))
        return;
    note_unit(feed, &token);
    classify(feed, &token);
    if (action_given(feed, &token))
        return;
    action_return(feed, &token);
    word_as_heading(feed, &token);
    if (stray_outside(feed, &token))
        return;
    stray_variables(feed, &token);
    bare_call(feed, &token);
    count_nesting(feed, &token);
    if (token.kind == LANG_END)
        to_end(feed, &token);
    if (token.kind == LANG_ELSIF && !feeding_stands_in(feed, LANG_IF))
        feed->loose_else = true;
    if (token.kind == LANG_UNTIL && feeding_stands_in(feed, LANG_REPEAT))
        feed->opens.at[feed->opens.n - 1].until = true;
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
    feeding_queue(feed, token);
    if (block && block->rank == BLOCK_STATEMENT &&
        feeding_peek(feed).kind != LANG_SEMICOLON &&
        feeding_peek(feed).kind != LANG_BECOMES)
        let_go(feed, token.where);
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
