/* judged.h - what a breach, or a run-time error, rests on. */
#ifndef KEEPCLEAR_STUDY_JUDGED_H
#define KEEPCLEAR_STUDY_JUDGED_H

#include "study/cause.h"

/* The facts by which the requirement of the record broke at its last
 * judging.  account->start: scan in which what was waited for began, where
 * the form has that; else 0. */
void judged_account(const struct trace *trace, struct account *account);

/* The facts by which the run-time error came about that ended the record. */
void judged_error(const struct trace *trace, struct account *account);

#endif
