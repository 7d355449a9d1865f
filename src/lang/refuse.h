/* refuse.h - constructs of IEC 61131-3 that this version does not read. */
#ifndef KEEPCLEAR_LANG_REFUSE_H
#define KEEPCLEAR_LANG_REFUSE_H

#include <stdbool.h>

#include "source/source.h"

struct name;
struct reading;

/* Is this the name of a standard type that is not read (REAL, STRING, WORD,
 * DATE ...)?  Then that is reported, each type once per text. */
bool refuse_type(struct reading *reading, const struct name *name,
                 struct span span);

/* Reports a construct by its word: "FOR", "ARRAY", "**", "METHOD" ...  Those
 * that turn up everywhere (ARRAY, STRUCT, a pointer) are reported once per
 * text. */
void refuse_construct(struct reading *reading, const char *word,
                      struct span span);

#endif
