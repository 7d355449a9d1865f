/* changefinding.h - what was found of one small change of the control text. */
#ifndef KEEPCLEAR_STUDY_CHANGEFINDING_H
#define KEEPCLEAR_STUDY_CHANGEFINDING_H

#include <stdbool.h>
#include <stdint.h>

#include "study/changes.h"

enum change_state {
    CHANGE_SAME,      /* no output of a program can differ: proved */
    CHANGE_NOTICED,   /* a requirement that is kept is so no more, or a
                         run-time error can occur that could not */
    CHANGE_UNGUARDED, /* an output can differ and nothing notices */
    CHANGE_HARMLESS,  /* the same, and the review text says why it may */
    CHANGE_NOT_KNOWN,
    CHANGE_REFUSED,   /* no text that could run: it is not accepted */
    CHANGE_STATES
};

struct change_finding {
    const struct change *change;
    bool looked;         /* else nothing of the rest counts: a signal came */
    enum change_state state;
    bool *noticed;       /* per requirement: it is broken, or not put to the
                            test any more */
    bool error;          /* noticed by a run-time error */
    const char *reason;  /* not known, refused: why */
    const struct harmless *harmless; /* the line that accepts it, or NULL */
    /* Unguarded, harmless: an output that can differ, and within how many
     * scans. */
    const char *output;
    bool more, boolean;  /* as pair.h */
    uint32_t level;
};

#endif
