/* phrase.h - words that are words only where they stand in their phrase. */
#ifndef KEEPCLEAR_LANG_PHRASE_H
#define KEEPCLEAR_LANG_PHRASE_H

#include <stdbool.h>

struct feed;
struct word;

/* Does the word stand in its phrase? */
bool phrase_fits(struct feed *feed, const struct word *word);

/* A step of a SCENARIO may begin, even where the `;` before it is missing. */
bool phrase_step_begins(const struct feed *feed);

#endif
