#define _GNU_SOURCE /* memmem */
#include "lang/noise.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/utf8.h"
#include "lang/reading.h"
#include "lang/spelling.h"
#include "source/diag.h"

enum {
    MOST_RUNS = 5,
    LONGEST_SHOWN = 12,
    HEADER = 4000 /* bytes in which an old export speaks of itself */
};

/* The bytes as they are if they can be shown, else in hexadecimal. */
static const char *show(struct reading *reading, struct span span)
{
    const char *at = reading->text + span.from;
    size_t n = span.to - span.from;

    for (size_t i = 0; i < n && i < LONGEST_SHOWN; i++)
        if (!isprint((unsigned char)at[i]))
            return reading_printf(reading, "byte 16#%02X",
                                  (unsigned)(unsigned char)at[i]);
    return reading_printf(reading, "'%s'", reading_quote(reading, span));
}

/* Two runs with nothing but blanks between them are one. */
static bool continues(const struct reading *reading, struct span span)
{
    return reading->bad.file && reading->noise &&
           reading_peek(reading, reading->bad.to) ==
               reading->text + span.from;
}

void noise_bytes(struct reading *reading, struct span span)
{
    size_t n = span.to - span.from;
    bool more = continues(reading, span);

    reading->bad = span;
    if (more)
        return;
    if (++reading->noise > MOST_RUNS) {
        reading->stopped = true;
        reading_error(reading, span,
                      "give a file of plain text (ASCII or UTF-8) as the "
                      "programming system exports it",
                      "too many bytes that start nothing; the rest of this "
                      "text is not read");
        return;
    }
    if (n == 1)
        reading_error(reading, span, "take it out",
                      "%s starts nothing here", show(reading, span));
    else
        reading_error(reading, span, "take them out",
                      "%zu bytes from %s on start nothing here", n,
                      show(reading, span));
}

/* Valid characters; *letters: which may all stand in a name. */
static bool is_word(const char *at, size_t n, bool *letters)
{
    *letters = true;
    for (size_t i = 0; i < n;) {
        struct utf8_char c = utf8_next(at + i, n - i);

        if (!c.valid)
            return false;
        *letters &= c.bytes == 1 || utf8_is_letter(c.code);
        i += c.bytes;
    }
    return true;
}

bool noise_letters(struct reading *reading, struct span span)
{
    const char *at = reading->text + span.from;
    bool letters;

    if (!is_word(at, span.to - span.from, &letters)) {
        noise_bytes(reading, span);
        return false;
    }
    if (letters) {
        spelling_seen(reading, SPELLING_LETTERS, span);
        return true;
    }
    reading->bad = span;
    if (++reading->noise > MOST_RUNS)
        reading->stopped = true;
    reading_error(reading, span,
                  "names are made of the letters A to Z, digits and _",
                  "'%s' holds a sign that no name can have",
                  reading_quote(reading, span));
    return true;
}

bool noise_flat_comments(const struct reading *reading)
{
    static const char mark[] = "@NESTEDCOMMENTS";
    size_t n = reading->n < HEADER ? reading->n : HEADER;
    const char *at = memmem(reading->text, n, mark, sizeof mark - 1);
    const char *end = at ? memchr(at, '\n', n - (size_t)(at - reading->text))
                         : NULL;

    return end && memmem(at, (size_t)(end - at), "'No'", 4);
}

void noise_comment_begins(struct reading *reading, struct span span)
{
    reading->comment_depth = 1;
    reading->comment = span;
    if (reading->text[span.from] == '/')
        spelling_seen(reading, SPELLING_STARS, span);
}

/* Is this sign of the kind that began the comment? */
static bool same_kind(const struct reading *reading, struct span span)
{
    bool slash = memchr(reading->text + span.from, '/', 2) != NULL;

    return slash == (reading->text[reading->comment.from] == '/');
}

bool noise_comment_deeper(struct reading *reading, struct span span)
{
    if (!same_kind(reading, span) || reading->flat_comments)
        return true;
    spelling_seen(reading, SPELLING_NESTED, span);
    if (++reading->comment_depth <= READING_NESTING)
        return true;
    reading->stopped = true;
    reading_error(reading, span, "close the comments before it",
                  "comments within comments more than %d deep; the rest of "
                  "this text is not read", READING_NESTING);
    return false;
}

bool noise_comment_ends(struct reading *reading, struct span span)
{
    return same_kind(reading, span) && --reading->comment_depth == 0;
}

void noise_open_comment(struct reading *reading, const char *what)
{
    reading->stopped = true;
    reading_error(reading, reading->comment,
                  *what == 'c' ? "close it with *), one for each (*, and */ "
                                 "for each /*"
                               : "close it with }",
                  "this %s does not end", what);
}

void noise_stray_end(struct reading *reading, struct span span)
{
    reading->bad = span;
    reading_error(reading, span,
                  "take it out, or open the comment with (*",
                  "'%s' ends a comment that was not begun",
                  reading_quote(reading, span));
}

static void noise_warn_pragma(const struct reading *reading,
                              struct span span)
{
    if (!reading->spelled[SPELLING_PRAGMA].n)
        diag_add(reading->context->diags, DIAG_WARNING, span,
                 "see that no pragma of this text changes what it does",
                 "pragmas in { } are skipped");
}

/* The word with which a pragma begins. */
static bool begins_with(const char *at, const char *word)
{
    size_t n = strlen(word);

    while (*at == ' ' || *at == '\t')
        at++;
    return strncasecmp(at, word, n) == 0 && !isalnum((unsigned char)at[n]);
}

static bool is_one_of(const char *at, const char *const *words)
{
    for (; *words; words++)
        if (begins_with(at, *words))
            return true;
    return false;
}

/* An attribute that says when or whether variables get their values. */
static bool is_about_start(const char *at, size_t n)
{
    for (size_t i = 0; i + 4 <= n; i++)
        if (strncasecmp(at + i, "init", 4) == 0)
            return true;
    return false;
}

/* {not read: ...}, as exchange.c writes it. */
static bool noise_mark(struct reading *reading, struct span span)
{
    static const char mark[] = "{not read: ";
    size_t n = sizeof mark - 1;
    struct span what = {span.file, span.from + (uint32_t)n, span.to - 1};
    const char *words;

    if (span.to - span.from <= n + 1 ||
        strncmp(reading->text + span.from, mark, n) != 0)
        return false;
    words = reading_quote(reading, what);
    if (strncmp(words, "the body in ", 12) == 0)
        reading_error_body(reading, span,
                           "write the body in Structured Text, or declare "
                           "the block UNKNOWN in the review text",
                           "the body of this block is in %s, which is not "
                           "read", words + 12);
    else
        reading_error(reading, span,
                      "write it as a FUNCTION_BLOCK or FUNCTION of its own",
                      "%s is not read in this version", words);
    return true;
}

/* Which text counts must not hang on something that is not read. */
void noise_pragma(struct reading *reading, struct span end)
{
    static const char *const choosing[] = {"if", "elsif", "else", "end_if",
                                           "define", "undefine", NULL};
    static const char *const harmless[] = {
        "attribute", "region", "endregion", "warning", "text", "info", NULL};
    struct span span = span_join(reading->comment, end);
    const char *at = reading->text + span.from + 1;

    if (noise_mark(reading, span))
        return;
    if (reading->kind == PARSE_CONTROL && is_one_of(at, choosing))
        reading_error_once(reading, span,
                           "export the text with the conditions worked out, "
                           "or take out the lines that do not count",
                           "this pragma chooses which text counts, and "
                           "pragmas are not read");
    else if (reading->kind != PARSE_CONTROL || !is_one_of(at, harmless) ||
             is_about_start(at, span.to - span.from - 1))
        noise_warn_pragma(reading, span);
    spelling_seen(reading, SPELLING_PRAGMA, span);
}

void noise_double_quotes(struct reading *reading, struct span span)
{
    if (reading->kind == PARSE_CONTROL)
        return; /* a WSTRING */
    reading->bad = span;
    reading_error_once(reading, span, "write '...' instead",
                       "texts stand in single quotes");
}

void noise_habit(struct reading *reading, struct span span,
                 const char *instead)
{
    reading_error(reading, span,
                  reading_printf(reading, "write %s", instead),
                  "'%s' is not a sign of this language",
                  reading_quote(reading, span));
}
