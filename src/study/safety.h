/* safety.h - the road of every requirement but POSSIBLE: is there a breach,
 * and did its trigger ever occur. */
#ifndef KEEPCLEAR_STUDY_SAFETY_H
#define KEEPCLEAR_STUDY_SAFETY_H

#include "study/dead_end.h"
#include "study/rehearse.h"

/* Judges requirement number `requirement`.  First without movement times
 * (a superset: what is kept there is kept), then, where that does not decide,
 * with them. */
void safety_judge(struct study *study, const struct rehearsal *rehearsal,
                  struct dead_ends *ends, uint32_t requirement,
                  struct requirement_finding *finding);

/* Fills in which assumptions and faults a slice takes in. */
void finding_parts(struct study *study, const struct answer *answer,
                   struct requirement_finding *finding);

#endif
