/* rehearse.h - long random runs of the reference interpreter.
 *
 * What occurs in one of them can occur: triggers and branches seen here need
 * no search.  What is not seen here says nothing.  The runs are the same on
 * every machine.
 */
#ifndef KEEPCLEAR_STUDY_REHEARSE_H
#define KEEPCLEAR_STUDY_REHEARSE_H

#include <stdbool.h>

#include "study/study.h"

struct rehearsal {
    bool *const *trigger; /* per requirement, per trigger: occurred */
    bool *branch;         /* per branch site: taken */
};

/* Lies in the study's arena. */
const struct rehearsal *rehearse(struct study *study);

#endif
