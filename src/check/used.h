/* used.h - templates that were put into their place, and how their limits
 * stand to what was given. */
#ifndef KEEPCLEAR_CHECK_USED_H
#define KEEPCLEAR_CHECK_USED_H

#include "check/draft.h"

/* Makes a row of each. */
void used_all(struct draft *draft);
#endif
