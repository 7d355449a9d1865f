/* branches.h - which branches and statements of the control text can be
 * reached at all, and which only with a fault. */
#ifndef KEEPCLEAR_STUDY_BRANCHES_H
#define KEEPCLEAR_STUDY_BRANCHES_H

#include "study/findings.h"
#include "study/rehearse.h"

/* With as many of the declared faults as any requirement names, at least one;
 * up to the run-time errors that are known to the study.
 * Lies in the study's arena.  It is a remark, not a verdict, and must not take
 * longer than the verdicts: each question looks at most at a part of so many
 * situations, all together at so many of a slice of usual size and at fewer of
 * larger ones, and what needs more is BRANCH_NOT_KNOWN.  Counted is work, not
 * time, so that it is the same on every machine. */
const struct taken *branches_judge(struct study *study,
                                   const struct rehearsal *rehearsal,
                                   uint64_t most_situations);

#endif
