/* beginning.h - a first review text, guessed. */
#ifndef KEEPCLEAR_STUDY_BEGINNING_H
#define KEEPCLEAR_STUDY_BEGINNING_H

#include "study/begun.h"

struct loaded;

/* From texts that were read without a mistake; the lines are the caller's to
 * set.  All lies in the arena of `loaded`. */
struct beginning *beginning_of(struct loaded *loaded,
                               enum begun_boldness boldness);

#endif
