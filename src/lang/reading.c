#include "lang/reading.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/arena.h"
#include "source/diag.h"

enum { LONGEST_QUOTE = 40, LONGEST_MESSAGE = 400 };

bool reading_first(struct reading *reading, unsigned what)
{
    uint32_t bit = (uint32_t)1 << what;
    bool first = !(reading->said & bit);

    reading->said |= bit;
    return first;
}

void reading_error(struct reading *reading, struct span span,
                   const char *hint, const char *format, ...)
{
    char message[LONGEST_MESSAGE];
    va_list list;

    va_start(list, format);
    vsnprintf(message, sizeof message, format, list);
    va_end(list);
    diag_add(reading->context->diags, DIAG_ERROR, span, hint, "%s", message);
    if (++reading->errors >= READING_ERRORS)
        reading->stopped = true;
}

const char *reading_quote(struct reading *reading, struct span span)
{
    size_t n = span.to - span.from;
    bool cut = n > LONGEST_QUOTE;
    char *copy;

    if (cut) {
        n = LONGEST_QUOTE;
        while (n && ((unsigned char)reading->text[span.from + n] & 0xC0) ==
                        0x80)
            n--;
    }
    copy = arena_copy(reading->context->arena, reading->text + span.from, n);
    for (size_t i = 0; i < n; i++)
        if ((unsigned char)copy[i] < ' ' || copy[i] == 0x7F)
            copy[i] = ' ';
    return cut ? reading_printf(reading, "%s...", copy) : copy;
}

uint32_t reading_line(const struct reading *reading, struct span span)
{
    return sources_place(reading->context->sources, span).line;
}

const char *reading_printf(struct reading *reading, const char *format, ...)
{
    char words[LONGEST_MESSAGE];
    va_list list;

    va_start(list, format);
    vsnprintf(words, sizeof words, format, list);
    va_end(list);
    return arena_copy(reading->context->arena, words, strlen(words));
}

const char *reading_peek(const struct reading *reading, size_t from)
{
    while (from < reading->n && strchr(" \t\r\n\f\v", reading->text[from]) &&
           reading->text[from])
        from++;
    return reading->text + from;
}

bool reading_word_at(const char *at, const char *word)
{
    for (; *word; at++, word++)
        if (toupper((unsigned char)*at) != *word)
            return false;
    return !isalnum((unsigned char)*at) && *at != '_';
}
