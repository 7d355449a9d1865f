/* cases.h - CASE: labels that cannot be reached, items left out. */
#ifndef KEEPCLEAR_CHECK_ADVICE_CASES_H
#define KEEPCLEAR_CHECK_ADVICE_CASES_H

#include "check/advice/subject.h"

void cases_advise(const struct subject *subject);

#endif
