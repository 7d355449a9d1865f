#include "lang/literal.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "lang/reading.h"

/* The byte a $-escape stands for; *used gets its length behind the $.  0:
 * there is no such escape. */
static char escape_at(const char *at, size_t left, size_t *used)
{
    char hex[3] = {0};

    *used = 1;
    if (left < 1)
        return 0;
    switch (toupper((unsigned char)*at)) {
    case '$': case '\'': case '"': return *at;
    case 'L': case 'N': return '\n';
    case 'P': return '\f';
    case 'R': return '\r';
    case 'T': return '\t';
    default: break;
    }
    if (left < 2 || !isxdigit((unsigned char)at[0]) ||
        !isxdigit((unsigned char)at[1]))
        return 0;
    *used = 2;
    memcpy(hex, at, 2);
    return (char)strtol(hex, NULL, 16);
}

static void wrong_escape(struct reading *reading, size_t from)
{
    struct span span = {reading->file, (uint32_t)from, (uint32_t)from + 2};

    reading_error(reading, span,
                  "write $$ for $, $' for ', $N, $L, $R, $P, $T, or two "
                  "hexadecimal digits other than 00",
                  "'%s' stands for no character",
                  reading_quote(reading, span));
}

static size_t resolve(struct reading *reading, struct span inner, char *out)
{
    const char *text = reading->text;
    size_t n = 0;

    for (size_t i = inner.from; i < inner.to; i++) {
        size_t used;

        if (text[i] != '$') {
            out[n++] = text[i];
            continue;
        }
        out[n] = escape_at(text + i + 1, inner.to - i - 1, &used);
        if (out[n])
            n++;
        else
            wrong_escape(reading, i);
        i += used;
    }
    return n;
}

/* Letters of STRING#'...'. */
static uint32_t before_quote(const struct reading *reading, struct span span)
{
    const char *at = reading->text + span.from;

    return (uint32_t)strcspn(at, "'\"");
}

struct tree_string literal_string(struct reading *reading, struct span span,
                                  bool closed)
{
    struct span inner = {span.file,
                         span.from + 1 + before_quote(reading, span),
                         span.to - closed};
    char *out = arena_alloc(reading->context->arena,
                            inner.to - inner.from + 1);

    if (!closed) {
        reading->bad = span;
        reading_error(reading, span,
                      "close it with ' in the same line; a ' inside is "
                      "written $'", "this text in quotes does not end");
    } else if (memchr(reading->text + inner.from, '\0',
                      inner.to - inner.from)) {
        reading_error(reading, span, "take the byte out",
                      "this text in quotes holds a NUL byte");
    }
    out[closed ? resolve(reading, inner, out) : 0] = '\0';
    return (struct tree_string){out, span};
}

/* [IQM] [XBWDL] number { . number }, or [IQM] [XBWDL] *. */
static bool location_is_fine(const char *at, const char *end)
{
    if (at == end || !strchr("IQM", toupper((unsigned char)*at)))
        return false;
    at++;
    if (at < end && strchr("XBWDL", toupper((unsigned char)*at)))
        at++;
    if (at + 1 == end && *at == '*')
        return true;
    for (;;) {
        if (at == end || !isdigit((unsigned char)*at))
            return false;
        while (at < end && isdigit((unsigned char)*at))
            at++;
        if (at == end)
            return true;
        if (*at++ != '.')
            return false;
    }
}

/* .%B1: a part of a bit string. */
static bool is_chunk(const struct reading *reading, struct span span)
{
    char size = (char)toupper(
        (unsigned char)reading->text[span.from + 1]);

    return span.from > 0 && reading->text[span.from - 1] == '.' &&
           (size == 'B' || size == 'W' || size == 'D') &&
           span.to - span.from == 3 &&
           isdigit((unsigned char)reading->text[span.from + 2]);
}

struct tree_string literal_location(struct reading *reading,
                                    struct span span)
{
    const char *at = reading->text + span.from;
    size_t n = span.to - span.from;

    if (!location_is_fine(at + 1, at + n) && !is_chunk(reading, span)) {
        reading->bad = span;
        reading_error(reading, span,
                      "write % with I, Q or M, a size and numbers: %IX0.3, "
                      "%QW4, %I*", "'%s' is not a place in the controller",
                      reading_quote(reading, span));
    }
    return (struct tree_string){
        arena_copy(reading->context->arena, at, n), span};
}
