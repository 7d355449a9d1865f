/* alone.h - functions and blocks that stand without a PROGRAM, or beside one
 * that is not read: for each of them one is made that calls it once in every
 * scan, with any inputs.  A PROGRAM runs by itself then, and what is global
 * may have any value before each scan: others may write it.
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
    const char *program; /* a control text with the PROGRAM that calls it,
                            NULL of a PROGRAM, */
    const char *runs;    /* and the name of what runs */
    bool open_arrays;    /* ARRAY [*]: given with indices 0 to 7 */
};

struct alone {
    const struct alone_pou *at;
    uint32_t n;
    bool unread; /* there are programs, but something that they need is not
                    read in this version */
};

/* In declared order; none with a review text, or where programs run and
 * nothing but mistakes keeps them from it.  All lies in the arena of
 * `loaded`. */
struct alone alone_of(const struct loaded *loaded);

#endif
