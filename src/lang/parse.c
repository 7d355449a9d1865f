#include "lang/parse.h"

#include "base/ensure.h"
#include "grammar/parser.tab.h"
#include "lang/block.h"
#include "lang/complain.h"
#include "lang/container.h"
#include "lang/feed.h"
#include "lang/marked.h"
#include "lang/noise.h"
#include "lang/parts.h"
#include "lang/place.h"
#include "lang/reading.h"
#include "lang/spelling.h"
#include "lang/word.h"
#include "source/diag.h"

struct parse {
    struct reading reading;
    struct feed *feed;
    lang_pstate *parser;
    int last; /* kind of the last token given to the parser */
    bool any; /* token of the user came, the end aside */
};

/* What an ACTION mentions is mentioned where it is called. */
static void mention(struct parse *parse, const struct name *name,
                    const struct feed_token *token, bool behind)
{
    uint32_t from = token->called_at ? token->called_at : token->where.from;

    vec_push(&parse->reading.mentions,
             ((struct tree_mention){name, from, false, behind}));
}

static void mention_place(struct parse *parse,
                          const struct feed_token *token)
{
    const struct name *name = place_name(
        parse->reading.context->names, token->value.string.at);

    if (name)
        mention(parse, name, token, false);
}

static int push(struct parse *parse, const struct feed_token *token)
{
    struct span where = token->where;
    int status, last = parse->last;

    parse->reading.quiet = token->made && !token->left_out &&
                           token->kind != LANG_SEMICOLON;
    parse->reading.keyword = !token->word        ? READING_NO_KEYWORD
                             : token->word->ours ? READING_OUR_WORD
                                                 : READING_STANDARD_WORD;
    status = lang_push_parse(parse->parser, token->kind, &token->value,
                             &where, &parse->reading);
    parse->last = token->kind;
    if (token->kind == LANG_IDENT)
        mention(parse, token->value.ident->name, token, last == LANG_DOT);
    else if (token->kind == LANG_TYPED && token->value.expr->type_name)
        mention(parse, token->value.expr->type_name, token, false);
    else if (token->kind == LANG_LOCATION && last != LANG_AT &&
             last != LANG_DOT)
        mention_place(parse, token);
    if (!token->made && token->kind != LANG_END) {
        parse->reading.last = where;
        parse->any |= token->kind != LANG_SEMICOLON;
    }
    return status;
}

static int push_made(struct parse *parse, int kind, struct span where)
{
    struct feed_token token = {.kind = kind, .made = true, .where = where};

    return push(parse, &token);
}

/* Words at which a mistake in a statement is over at the latest. */
static bool is_boundary(int kind)
{
    const struct block *block = block_opened(kind);

    return block_closed(kind) || kind == LANG_ELSE || kind == LANG_ELSIF ||
           kind == LANG_UNTIL ||
           (block && block->rank <= BLOCK_VARIABLES);
}

static void run(struct parse *parse)
{
    int status = YYPUSH_MORE;

    while (status == YYPUSH_MORE) {
        struct feed_token token = feed_next(parse->feed);

        if (lang_recovering(parse->parser) && is_boundary(token.kind) &&
            parse->last != LANG_SEMICOLON)
            status = push_made(parse, LANG_SEMICOLON, token.where);
        if (status == YYPUSH_MORE)
            status = push(parse, &token);
    }
    if (status == 2) /* the stack is full and nobody was told */
        complain_depth(&parse->reading, parse->reading.last);
    if (status != 0) /* what follows was not read: that concerns all */
        parse->reading.stopped = true;
}

static void say_empty(struct reading *reading)
{
    struct span start = {reading->file, 0, 0};

    reading_error(reading, start,
                  reading->kind == PARSE_TEMPLATE
                      ? "a template begins with TEMPLATE Name 'title'"
                  : reading->kind == PARSE_REVIEW
                      ? "a review text begins with REVIEW Name 'title'"
                      : "a control text holds at least one PROGRAM ... "
                        "END_PROGRAM, VAR_GLOBAL or TYPE",
                  "this text holds nothing to review");
}

static void open_text(struct reading *reading)
{
    const struct sources *sources = reading->context->sources;
    struct span start = {reading->file, 0, 0};
    enum source_form form;

    reading->text = sources_text(sources, reading->file, &reading->n);
    form = sources_form(sources, reading->file);
    if (reading->kind == PARSE_CONTROL && form != SOURCE_UTF8)
        spelling_seen(reading, form == SOURCE_UTF16 ? SPELLING_UTF16
                                                    : SPELLING_WINDOWS,
                      start);
    if (reading->kind == PARSE_CONTROL &&
        container_is(reading->text, reading->n))
        container_open(reading);
    reading->marked = marked_text(reading);
    reading->flat_comments = noise_flat_comments(reading);
}

bool parse_text(const struct parse_context *context, uint32_t file,
                enum parse_kind kind, struct tree_run *tree)
{
    struct parse parse = {.reading = {.context = context, .file = file,
                                      .kind = kind, .run = tree}};
    struct reading *reading = &parse.reading;
    size_t errors = diags_errors(context->diags);
    struct parts_before before = parts_begin(tree);

    open_text(reading);
    parse.feed = feed_open(reading);
    parse.parser = lang_pstate_new();
    ENSURE(parse.parser);
    push_made(&parse, kind == PARSE_REVIEW     ? LANG_START_REVIEW
                      : kind == PARSE_TEMPLATE ? LANG_START_TEMPLATE
                                               : LANG_START_CONTROL,
              (struct span){file, 0, 0});
    run(&parse);
    lang_pstate_delete(parse.parser);
    feed_close(parse.feed);
    if (!parse.any && !reading->held.first)
        say_empty(reading);
    parts_settle(reading, before);
    spelling_report(reading);
    return diags_errors(context->diags) == errors;
}
