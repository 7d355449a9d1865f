/* account.h - the account of one fact: what set it, or why nothing did. */
#ifndef KEEPCLEAR_STUDY_ACCOUNT_H
#define KEEPCLEAR_STUDY_ACCOUNT_H

#include "study/cause.h"

/* Why the fact is so.  A thing that no statement touched in its scan is
 * accounted for by the statements that were not run, and, as its last cause,
 * by what gave it the value. */
void account_fact(const struct trace *trace, const struct fact *fact,
                  struct account *account);

#endif
