#include "base/text.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/ensure.h"
#include "base/utf8.h"
#include "base/vec.h"

/* Room for more bytes and the NUL after them. */
static void reserve(struct text *text, size_t more)
{
    if (more > SIZE_MAX / 4 || text->n > SIZE_MAX / 4)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    vec_reserve(text, text->n + more + 1);
}

void text_add_bytes(struct text *text, const char *bytes, size_t n)
{
    reserve(text, n);
    if (n)
        memcpy(text->at + text->n, bytes, n);
    text->n += n;
    text->at[text->n] = '\0';
}

void text_add(struct text *text, const char *string)
{
    text_add_bytes(text, string, strlen(string));
}

void text_add_char(struct text *text, char c)
{
    text_add_bytes(text, &c, 1);
}

void text_printf(struct text *text, const char *format, ...)
{
    va_list args, again;
    int n;

    va_start(args, format);
    va_copy(again, args);
    n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    ENSURE(n >= 0);
    reserve(text, (size_t)n);
    vsnprintf(text->at + text->n, (size_t)n + 1, format, again);
    va_end(again);
    text->n += (size_t)n;
}

void text_pad(struct text *text, char c, size_t count)
{
    reserve(text, count);
    memset(text->at + text->n, c, count);
    text->n += count;
    text->at[text->n] = '\0';
}

const char *text_str(const struct text *text)
{
    return text->at ? text->at : "";
}

void text_clear(struct text *text)
{
    text->n = 0;
    if (text->at)
        text->at[0] = '\0';
}

void text_release(struct text *text)
{
    vec_release(text);
}

size_t text_columns(const char *bytes, size_t n)
{
    size_t columns = 0;

    for (size_t i = 0; i < n;) {
        struct utf8_char next = utf8_next(bytes + i, n - i);

        columns += next.columns;
        i += next.bytes;
    }
    return columns;
}

bool text_same_words(const char *a, const char *b)
{
    for (;; a++, b++) {
        a += strspn(a, " \t\r\n");
        b += strspn(b, " \t\r\n");
        if (!*a || !*b)
            return *a == *b;
        if (strncasecmp(a, b, 1) != 0)
            return false;
    }
}
