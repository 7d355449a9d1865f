/* possible.h - the road of POSSIBLE: from every first situation, whatever
 * is resolved against us, with each allowed set of faults present. */
#ifndef KEEPCLEAR_STUDY_POSSIBLE_H
#define KEEPCLEAR_STUDY_POSSIBLE_H

#include "study/dead_end.h"

/* Judges requirement number `requirement`, whose form is POSSIBLE. */
void possible_judge(struct study *study, struct dead_ends *ends,
                    uint32_t requirement,
                    struct requirement_finding *finding);

#endif
