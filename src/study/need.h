/* need.h - which assumptions does a requirement that is kept need?
 *
 * First all are dropped together; then, if that breaks it, one after the
 * other in declared order, each that is not needed staying dropped.  What
 * remains is one set that is enough.  Dropped means: the requirement would
 * still be called kept, so no run-time error and no dead end may come of it.
 */
#ifndef KEEPCLEAR_STUDY_NEED_H
#define KEEPCLEAR_STUDY_NEED_H

#include "base/vec.h"
#include "study/dead_end.h"
#include "study/rehearse.h"

/* What was found out already, for all requirements; all zero to begin
 * with. */
struct needs {
    struct dead_ends ends;
    const bool *const *site_reads; /* per error site: the assumptions that its
                                      slice takes in; NULL: it cannot occur */
    VEC(const bool *) dropped;     /* with what a site was asked again */
    VEC(uint32_t) site;
    VEC(int) reach;                /* enum error_reach */
};

void needs_release(struct needs *needs);

/* For a requirement that is kept: fills in need_state and need. */
void need_judge(struct needs *needs, struct study *study,
                const struct rehearsal *rehearsal,
                struct requirement_finding *finding);

#endif
