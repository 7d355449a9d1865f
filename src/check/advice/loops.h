/* loops.h - the variable of a FOR behind it. */
#ifndef KEEPCLEAR_CHECK_ADVICE_LOOPS_H
#define KEEPCLEAR_CHECK_ADVICE_LOOPS_H

#include "check/advice/subject.h"

void loops_advise(const struct subject *subject);

#endif
