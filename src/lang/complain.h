/* complain.h - words for what the parser could not take. */
#ifndef KEEPCLEAR_LANG_COMPLAIN_H
#define KEEPCLEAR_LANG_COMPLAIN_H

#include "source/source.h"

struct reading;

/* The token at `where`, called `found` by the grammar, does not fit; one of
 * the n expected ones would.  Words that are not typed as they stand begin
 * with "a " or "the ".  expected is changed. */
void complain_syntax(struct reading *reading, struct span where,
                     const char *found, const char **expected, int n);

/* The parser's stack is full. */
void complain_depth(struct reading *reading, struct span where);

#endif
