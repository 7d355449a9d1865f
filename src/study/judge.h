/* judge.h - the road of each form of requirement. */
#ifndef KEEPCLEAR_STUDY_JUDGE_H
#define KEEPCLEAR_STUDY_JUDGE_H

#include "study/dead_end.h"
#include "study/rehearse.h"

/* Judges requirement number `requirement`; whether the logic has a part in it
 * and which assumptions it needs are questions of their own. */
void judge_requirement(struct study *study, const struct rehearsal *rehearsal,
                       struct dead_ends *ends, uint32_t requirement,
                       struct requirement_finding *finding);

/* Is it one of the forms that ask for a way, not for the absence of a
 * breach? */
bool judge_looks_for_a_way(const struct study *study, uint32_t requirement);

#endif
