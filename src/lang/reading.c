#include "lang/reading.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/arena.h"
#include "lang/chain.h"

enum { LONGEST_QUOTE = 40, LONGEST_MESSAGE = 400 };

static void hold(struct reading *reading, struct tree_unread error)
{
    struct arena *arena = reading->context->arena;
    struct tree_unread *held;

    reading->told = true;
    if (reading->mute)
        return;
    held = ARENA_NEW(arena, struct tree_unread);
    *held = error;
    held->message = arena_copy(arena, error.message, strlen(error.message));
    held->hint = arena_copy(arena, error.hint, strlen(error.hint));
    CHAIN_APPEND(&reading->held, held);
    if (reading->place == READING_UNIT)
        reading->mute = ++reading->unit_errors >= READING_ERRORS;
    else if (reading->place == READING_TOP &&
             ++reading->errors >= READING_ERRORS)
        reading->stopped = true;
}

static void hold_words(struct reading *reading, struct tree_unread error,
                       const char *format, va_list list)
{
    char message[LONGEST_MESSAGE];

    vsnprintf(message, sizeof message, format, list);
    error.message = message;
    error.beyond = error.body || strstr(format, "read in this version");
    hold(reading, error);
}

void reading_error(struct reading *reading, struct span span,
                   const char *hint, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    hold_words(reading, (struct tree_unread){.span = span, .hint = hint},
               format, list);
    va_end(list);
}

void reading_error_once(struct reading *reading, struct span span,
                        const char *hint, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    hold_words(reading,
               (struct tree_unread){.span = span, .hint = hint, .once = true},
               format, list);
    va_end(list);
}

void reading_error_body(struct reading *reading, struct span span,
                        const char *hint, const char *format, ...)
{
    va_list list;

    va_start(list, format);
    hold_words(reading,
               (struct tree_unread){.span = span, .hint = hint, .body = true},
               format, list);
    va_end(list);
}

void reading_enter(struct reading *reading, enum reading_place place)
{
    if (reading->kind != PARSE_CONTROL)
        return;
    reading->place = place;
    reading->mute = reading->told = false;
    reading->unit_errors = reading->mistakes = 0;
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
