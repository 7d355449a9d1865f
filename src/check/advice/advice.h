/* advice.h - the remarks of a careful reader on the checked texts. */
#ifndef KEEPCLEAR_CHECK_ADVICE_ADVICE_H
#define KEEPCLEAR_CHECK_ADVICE_ADVICE_H

#include "check/draft.h"

/* Adds the remarks, by place, and takes in ACCEPTED.  Call it when all else
 * is checked without an error; only a line of ACCEPTED can be a mistake. */
void advice_collect(struct draft *draft);

#endif
