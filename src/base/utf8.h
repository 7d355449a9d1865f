/* utf8.h - one character after the other. */
#ifndef KEEPCLEAR_BASE_UTF8_H
#define KEEPCLEAR_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct utf8_char {
    uint32_t code;    /* code point; the byte itself when not valid */
    unsigned bytes;   /* 1 to 4; always 1 when not valid */
    unsigned columns; /* on a terminal: 0, 1 or 2 */
    bool valid;
};

/* The character that begins at bytes, of which n > 0 are there.  Overlong
 * forms, surrogates and cut sequences are not valid. */
struct utf8_char utf8_next(const char *bytes, size_t n);

/* Is it a letter beyond ASCII, as names of exports have them? */
bool utf8_is_letter(uint32_t code);

/* The small letter of a capital one beyond ASCII, which has as many bytes;
 * anything else is given back. */
uint32_t utf8_small(uint32_t code);

#endif
