/* noticed.h - are faults noticed, and by when (docs/notes/step.md, 13)?
 *
 * Faults that come and go are taken as staying from when they appear.
 */
#ifndef KEEPCLEAR_STUDY_NOTICED_H
#define KEEPCLEAR_STUDY_NOTICED_H

#include "study/dead_end.h"

enum noticed {
    NOTICED_BEFORE_DEMAND, /* always before the next demand */
    NOTICED_IN_CYCLE,      /* else: always within a work cycle */
    NOTICED_SOMETIMES,     /* on some paths only */
    NOTICED_NEVER,
    NOTICED_NO_DEMAND,     /* no demand comes after them: nothing is said */
    NOTICED_NOT_DECIDED,   /* what was found leans on open places */
    NOTICED_NOT_FINISHED   /* a limit, a run-time error or a dead end */
};

struct noticed_finding {
    enum noticed noticed;
    enum stop_reason stop;     /* NOT_FINISHED, NOT_DECIDED */
    const struct replay *sequence; /* to a demand at which they are not
                                      noticed, the shortest; NULL: there is
                                      none, or it cannot be shown */
    struct coverage coverage;
    const bool *assumption_used;  /* per assumption of the model */
};

/* Asks about a set of causes that have all occurred, and no others; the model
 * has NOTICING.  What it finds lies in the arena of the study, but for dead
 * ends, which are recorded.  Run-time errors count as far as the study has
 * judged them (study.h, most_faults). */
void noticed_ask(struct study *study, struct dead_ends *ends,
                 const uint32_t *causes, uint32_t n,
                 struct noticed_finding *finding);

/* "always before the next demand" ... */
const char *noticed_words(enum noticed noticed);

#endif
