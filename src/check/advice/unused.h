/* unused.h - what is declared and not used. */
#ifndef KEEPCLEAR_CHECK_ADVICE_UNUSED_H
#define KEEPCLEAR_CHECK_ADVICE_UNUSED_H

#include "check/advice/subject.h"

void unused_advise(const struct subject *subject);

/* Global variables. */
void unused_advise_globals(struct draft *draft);

#endif
