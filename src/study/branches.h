/* branches.h - which branches of the control text can be taken at all. */
#ifndef KEEPCLEAR_STUDY_BRANCHES_H
#define KEEPCLEAR_STUDY_BRANCHES_H

#include "study/findings.h"
#include "study/rehearse.h"

/* Per branch site; lies in the study's arena.  A branch that needs more than
 * a bounded search is BRANCH_NOT_KNOWN, and said so. */
const enum branch_state *branches_judge(struct study *study,
                                        const struct rehearsal *rehearsal);

#endif
