/* quote.h - pieces of the user's own text. */
#ifndef KEEPCLEAR_PRESENT_QUOTE_H
#define KEEPCLEAR_PRESENT_QUOTE_H

#include "source/source.h"

struct text;

/* The text of a span on one line: runs of blanks and line ends become one
 * blank, comments stay. */
void quote_span(struct text *out, const struct sources *sources,
                struct span span);

/* "tailgate.st, line 41" */
void quote_place(struct text *out, const struct sources *sources,
                 struct span span);

#endif
