/* text.h - growing text, always ended by a NUL, NUL bytes allowed inside. */
#ifndef KEEPCLEAR_BASE_TEXT_H
#define KEEPCLEAR_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* All zero is empty and valid (at may then be NULL: use text_str). */
struct text {
    char *at;
    size_t n, cap;
};

void text_add(struct text *text, const char *string);
void text_add_bytes(struct text *text, const char *bytes, size_t n);
void text_add_char(struct text *text, char c);
void text_printf(struct text *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Adds count copies of c. */
void text_pad(struct text *text, char c, size_t count);

/* The content as a C string, "" when empty; valid until the next change. */
const char *text_str(const struct text *text);

/* Empties, keeps the memory. */
void text_clear(struct text *text);

/* Frees; leaves a valid empty text. */
void text_release(struct text *text);

/* Columns that n bytes of UTF-8 take on a terminal: one per code point,
 * none for combining marks, two for wide East Asian ones; invalid bytes count
 * one each. */
size_t text_columns(const char *bytes, size_t n);

/* The same, whatever their blanks, line ends and case of ASCII letters? */
bool text_same_words(const char *a, const char *b);

#endif
