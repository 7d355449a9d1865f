/* noise.h - what stands in a text and is no token. */
#ifndef KEEPCLEAR_LANG_NOISE_H
#define KEEPCLEAR_LANG_NOISE_H

#include <stdbool.h>

#include "source/source.h"

struct reading;

/* A run of bytes that start nothing; after a few runs the rest of the text
 * is given up. */
void noise_bytes(struct reading *reading, struct span span);

/* A run with bytes above 127.  True when it is a word in UTF-8 that holds
 * letters a name cannot have: reported, and to be read as a name. */
bool noise_letters(struct reading *reading, struct span span);

/* Old exports say at the top whether their comments nest: do they not? */
bool noise_flat_comments(const struct reading *reading);

/* A comment begins; within it, signs of the other kind mean nothing. */
void noise_comment_begins(struct reading *reading, struct span span);

/* A comment within a comment; false when they are too deep. */
bool noise_comment_deeper(struct reading *reading, struct span span);

/* The end of a comment: of the outermost? */
bool noise_comment_ends(struct reading *reading, struct span span);

/* The text ends within what began at reading->comment; the rest is given
 * up.  what: "comment", "pragma". */
void noise_open_comment(struct reading *reading, const char *what);

/* The end of a comment that was never opened. */
void noise_stray_end(struct reading *reading, struct span span);

/* A pragma in { } is not regarded: said once when it could matter. */
void noise_pragma(struct reading *reading, struct span end);

/* A text in "double quotes": said once. */
void noise_double_quotes(struct reading *reading, struct span span);

/* A sign of another language; instead: what is written here. */
void noise_habit(struct reading *reading, struct span span,
                 const char *instead);

#endif
