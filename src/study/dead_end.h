/* dead_end.h - situations in which the assumptions leave no way to go on.
 *
 * Assumptions that a question takes in are asked with it; the groups left
 * out are asked once each, with the largest number of faults of the run.
 */
#ifndef KEEPCLEAR_STUDY_DEAD_END_H
#define KEEPCLEAR_STUDY_DEAD_END_H

#include "base/vec.h"
#include "study/findings.h"
#include "study/answer.h"

/* What is known so far; all zero to begin with. */
struct dead_ends {
    VEC(struct dead_end_finding) found;
    VEC(const bool *) asked; /* groups asked already, per assumption */
    VEC(int) outcome;        /* per group asked: -1 none, -2 not known,
                                else index of found */
    bool without_sequences;  /* only whether there are any is asked */
};

void dead_ends_release(struct dead_ends *ends);

/* Why a sequence to what was seen cannot be shown. */
enum stop_reason answer_lost(const struct study *study,
                             const struct answer *answer);

/* Records the dead end that an answer has met. */
void dead_end_record(struct dead_ends *ends, struct study *study,
                     struct answer *answer);

/* Asks the groups outside the answer's slice.  STOP_NONE: all of them can
 * always go on; STOP_DEAD_END; or the limit that was met. */
enum stop_reason dead_ends_outside(struct dead_ends *ends,
                                   struct study *study,
                                   const struct answer *answer);

/* How much an answer looked at. */
struct coverage answer_coverage(const struct answer *answer);

/* The limit that ended an answer, or STOP_NONE. */
enum stop_reason answer_stop(const struct answer *answer);

#endif
