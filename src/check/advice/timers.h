/* timers.h - timers and edges: not called in each scan, or twice in one. */
#ifndef KEEPCLEAR_CHECK_ADVICE_TIMERS_H
#define KEEPCLEAR_CHECK_ADVICE_TIMERS_H

#include "check/advice/subject.h"

void timers_advise(const struct subject *subject);

#endif
