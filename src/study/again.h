/* again.h - the road of ALWAYS POSSIBLE AGAIN: is there a trap, and the
 * shortest way into it. */
#ifndef KEEPCLEAR_STUDY_AGAIN_H
#define KEEPCLEAR_STUDY_AGAIN_H

#include "study/dead_end.h"
#include "study/rehearse.h"

/* Judges requirement number `requirement`, whose form is POSSIBLE AGAIN.
 * Always with movement times: what can be brought about without them need
 * not be possible with them, nor the reverse. */
void again_judge(struct study *study, const struct rehearsal *rehearsal,
                 struct dead_ends *ends, uint32_t requirement,
                 struct requirement_finding *finding);

#endif
