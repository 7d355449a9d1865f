/* alone.h - functions and blocks that stand without a PROGRAM: for each of
 * them one is made that calls it once in every scan, with any inputs.
 *
 * What a library holds is judged so: each part by itself, whatever a caller
 * gives it.  A function or block that is called from others only may be given
 * less in truth; an error found here says what it may not be given. */
#ifndef KEEPCLEAR_STUDY_ALONE_H
#define KEEPCLEAR_STUDY_ALONE_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"

struct loaded;

struct alone_pou {
    const char *kind;    /* "FUNCTION" or "FUNCTION_BLOCK" */
    const char *name;    /* as it is written */
    struct span span;    /* of its name */
    const char *program; /* a control text with the one PROGRAM */
    bool open_arrays;    /* ARRAY [*]: given with indices 0 to 7 */
};

struct alone {
    const struct alone_pou *at;
    uint32_t n;
};

/* In declared order; none when a PROGRAM, a configuration or a review text is
 * there, or when something else is wrong with the texts.  All lies in the
 * arena of `loaded`. */
struct alone alone_of(const struct loaded *loaded);

#endif
