#include "lang/piece.h"

#include <string.h>

#include "lang/feed.h"
#include "lang/reading.h"

static void push(struct pieces *pieces, const struct reading *reading,
                 struct piece piece, size_t gap)
{
    for (size_t i = gap; i < piece.from; i++) {
        char c = reading->text[i];

        if (c == '\n') {
            piece.lines++;
            piece.blanks = 0;
        } else if (c != '\r') {
            piece.blanks++;
        }
    }
    vec_push(pieces, piece);
}

/* Behind the comment within signs that begins at `at`: signs of the other
 * kind mean nothing in it. */
static size_t block_end(const struct reading *reading, size_t at)
{
    const char *text = reading->text;
    const char *open = text[at] == '(' ? "(*" : "/*";
    const char *close = text[at] == '(' ? "*)" : "*/";
    size_t depth = 1;

    at += 2;
    while (at + 1 < reading->n && depth) {
        bool opens = !memcmp(text + at, open, 2) && !reading->flat_comments;
        bool closes = !memcmp(text + at, close, 2);

        depth += opens;
        depth -= closes;
        at += opens || closes ? 2 : 1;
    }
    return depth ? reading->n : at;
}

/* Behind what stands between tokens and begins at `at`: a comment, a pragma,
 * a line that is skipped, or a word that is. */
static size_t comment_end(const struct reading *reading, size_t at)
{
    const char *text = reading->text;

    if (text[at] == '/' && text[at + 1] == '/')
        return at + strcspn(text + at, "\r\n");
    if (text[at] == '{')
        return at + strcspn(text + at, "}") + 1;
    if (text[at + 1] != '*' || (text[at] != '(' && text[at] != '/'))
        return at + 1 + strcspn(text + at + 1, text[at] == '#'
                                                   ? "\r\n"
                                                   : " \t\r\n\f\v(/{");
    return block_end(reading, at);
}

/* The comments between two tokens; gives back where the last one ends. */
static size_t push_comments(struct pieces *pieces,
                            const struct reading *reading, size_t gap,
                            size_t end)
{
    size_t at = gap;

    while (at < end) {
        struct piece piece = {.kind = PIECE_COMMENT};

        if (strchr(" \t\r\n\f\v", reading->text[at])) {
            at++;
            continue;
        }
        piece.from = (uint32_t)at;
        at = comment_end(reading, at);
        at = at < end ? at : end;
        piece.to = (uint32_t)at;
        push(pieces, reading, piece, gap);
        gap = at;
    }
    return gap;
}

struct pieces pieces_of(struct reading *reading)
{
    struct feed *feed = feed_open(reading);
    struct pieces pieces = {0};
    size_t gap = 0;
    struct feed_token token;

    do {
        token = feed_next(feed);
        if (token.made)
            continue;
        gap = push_comments(&pieces, reading, gap, token.where.from);
        if (token.kind != LANG_END)
            push(&pieces, reading,
                 (struct piece){.from = token.where.from,
                                .to = token.where.to,
                                .kind = token.kind,
                                .nest = token.nest},
                 gap);
        gap = token.where.to;
    } while (token.kind != LANG_END);
    feed_close(feed);
    return pieces;
}
