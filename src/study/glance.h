/* glance.h - is a requirement broken?  Without the sequence that breaks it. */
#ifndef KEEPCLEAR_STUDY_GLANCE_H
#define KEEPCLEAR_STUDY_GLANCE_H

#include "study/study.h"

/* TRUE: it is broken, leaning on nothing that is left open.  FALSE says
 * nothing; what was looked at is kept for judge.h. */
bool glance_broken(struct study *study, uint32_t requirement);

#endif
