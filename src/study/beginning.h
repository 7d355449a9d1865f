/* beginning.h - a first review text, guessed. */
#ifndef KEEPCLEAR_STUDY_BEGINNING_H
#define KEEPCLEAR_STUDY_BEGINNING_H

#include "study/begun.h"

struct loaded;

/* From texts that were read without a mistake.  All lies in the arena of
 * `loaded`. */
const struct beginning *beginning_of(struct loaded *loaded,
                                     const char *const *lines,
                                     uint32_t n_lines,
                                     enum begun_boldness boldness);

#endif
