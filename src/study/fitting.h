/* fitting.h - for each requirement a sequence in which it comes to bear: the
 * shortest one, without any fault, to the first part of its trigger that
 * occurs so. */
#ifndef KEEPCLEAR_STUDY_FITTING_H
#define KEEPCLEAR_STUDY_FITTING_H

#include <stdbool.h>
#include <stdint.h>

struct loaded;
struct machine;
struct replay;
struct study_setting;

struct fitting {
    const struct replay *sequence; /* NULL: see the next two */
    uint32_t trigger;  /* number of the part */
    bool never;        /* no part occurs without a fault */
    bool not_known;    /* a limit came first */
};

struct fittings {
    const struct fitting *at;   /* per requirement of the model */
    const char *internal_error; /* or NULL */
};

/* Lies in the arena of `loaded`.  NULL: the model is beyond this version, and
 * the diagnostics of `loaded` say why. */
const struct fittings *fitting_find(struct loaded *loaded,
                                    const struct study_setting *setting);

#endif
