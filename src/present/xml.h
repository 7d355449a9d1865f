/* xml.h - words within a picture. */
#ifndef KEEPCLEAR_PRESENT_XML_H
#define KEEPCLEAR_PRESENT_XML_H

#include <stddef.h>

struct text;

/* As a text of XML: what must not stand there is escaped or becomes '?'. */
void xml_add(struct text *out, const char *words);

/* Bytes of the line that begins at `at`, broken at a blank. */
size_t xml_line(const char *at, size_t columns);

#endif
