/* require.h - assumptions, hazards and requirements. */
#ifndef KEEPCLEAR_CHECK_REQUIRE_H
#define KEEPCLEAR_CHECK_REQUIRE_H

#include "check/draft.h"

/* Checks all assumptions; signals are bound. */
void require_assumptions(struct draft *draft);

/* Checks hazards and requirements with limits and triggers. */
void require_all(struct draft *draft);

#endif
