#include "lang/noise.h"

#include <ctype.h>
#include <stdio.h>

#include "lang/reading.h"
#include "source/diag.h"

enum { MOST_RUNS = 5, LONGEST_SHOWN = 12 };

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

/* Strict enough to tell words from noise. */
static bool is_utf8(const unsigned char *at, size_t n)
{
    size_t more = 0;

    for (size_t i = 0; i < n; i++) {
        if (more) {
            if ((at[i] & 0xC0) != 0x80)
                return false;
            more--;
        } else if (at[i] >= 0xF5 || (at[i] & 0xC0) == 0x80) {
            return false;
        } else {
            more = at[i] >= 0xF0 ? 3 : at[i] >= 0xE0 ? 2 : at[i] >= 0xC0;
        }
    }
    return more == 0;
}

bool noise_letters(struct reading *reading, struct span span)
{
    const char *at = reading->text + span.from;

    if (!is_utf8((const unsigned char *)at, span.to - span.from)) {
        noise_bytes(reading, span);
        return false;
    }
    reading->bad = span;
    if (++reading->noise > MOST_RUNS)
        reading->stopped = true;
    reading_error(reading, span,
                  "names are made of the letters A to Z, digits and _",
                  "'%s' holds a letter that no name can have",
                  reading_quote(reading, span));
    return true;
}

bool noise_comment_deeper(struct reading *reading, struct span span)
{
    if (++reading->comment_depth <= READING_NESTING)
        return true;
    reading->stopped = true;
    reading_error(reading, span, "close the comments before it",
                  "comments within comments more than %d deep; the rest of "
                  "this text is not read", READING_NESTING);
    return false;
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

void noise_pragma(struct reading *reading, struct span end)
{
    if (reading_first(reading, READING_ONCE_PRAGMA))
        diag_add(reading->context->diags, DIAG_WARNING,
                 span_join(reading->comment, end),
                 "see that no pragma of this text changes what it does",
                 "pragmas in { } are skipped");
}

void noise_double_quotes(struct reading *reading, struct span span)
{
    reading->bad = span;
    if (reading_first(reading, READING_ONCE_QUOTES))
        reading_error(reading, span, "write '...' instead",
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
