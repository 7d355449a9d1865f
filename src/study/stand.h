/* stand.h - is there a breach at all?  The question of a requirement asked
 * again under other circumstances: without programs, without assumptions. */
#ifndef KEEPCLEAR_STUDY_STAND_H
#define KEEPCLEAR_STUDY_STAND_H

#include "study/answer.h"

enum stand {
    STAND_KEPT,   /* no breach, everything was looked at */
    STAND_BROKEN, /* with movement times there is one */
    STAND_OPEN    /* a limit was met */
};

/* First without movement times, where only "kept" counts and only where the
 * assumptions always leave a way; else with them.  answer gets the
 * exploration that decided, to be released by the caller; STAND_KEPT may
 * come with a dead end.  Not for POSSIBLE. */
enum stand stand_find(struct study *study, uint32_t requirement,
                      struct answer *answer);

/* The slice that is asked with movement times. */
void stand_slice(struct study *study, uint32_t requirement,
                 struct answer *answer);

#endif
