/* recode.h - texts that are not UTF-8. */
#ifndef KEEPCLEAR_SOURCE_RECODE_H
#define KEEPCLEAR_SOURCE_RECODE_H

#include <stdbool.h>
#include <stddef.h>

struct text;

/* Is every byte part of a valid character of UTF-8? */
bool recode_is_utf8(const char *bytes, size_t n);

/* Appends the bytes as UTF-8: what is not UTF-8 is taken as Windows-1252 (a
 * text may hold pieces of both).  False, and nothing appended, when a byte
 * has no meaning there or is a control character that no text holds: then
 * this is no text of that kind. */
bool recode_windows(const char *bytes, size_t n, struct text *out);

/* Does it begin with the mark of a text in UTF-16? */
bool recode_is_utf16(const char *bytes, size_t n);

/* Appends such a text as UTF-8, without the mark; what is malformed as
 * U+FFFD.  False, and nothing appended, where the system cannot do it. */
bool recode_utf16(const char *bytes, size_t n, struct text *out);

#endif
