/* judged.h - what the breach of a requirement rests on. */
#ifndef KEEPCLEAR_STUDY_JUDGED_H
#define KEEPCLEAR_STUDY_JUDGED_H

#include "study/cause.h"

/* The facts by which the requirement of the record broke at its last
 * judging.  account->start: scan in which what was waited for began, where
 * the form has that; else 0. */
void judged_account(const struct trace *trace, struct account *account);

#endif
