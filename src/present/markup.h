/* markup.h - the user's words in XML and HTML, inert whatever they hold. */
#ifndef KEEPCLEAR_PRESENT_MARKUP_H
#define KEEPCLEAR_PRESENT_MARKUP_H

#include <stddef.h>

struct text;

/* Escapes & < > and ", and writes '?' for each byte or character that must
 * not stand there: no valid UTF-8, control characters. */
void markup_add(struct text *out, const char *at, size_t n);

/* Bytes of the line that begins at `at`, broken at a blank or behind the point
 * of a path. */
size_t markup_line(const char *at, size_t columns);

#endif
