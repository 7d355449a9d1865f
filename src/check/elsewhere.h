/* elsewhere.h - what VAR_CONFIG and VAR_ACCESS say of variables that are
 * declared elsewhere.
 *
 * VAR_CONFIG gives a variable declared AT %I*, %Q* or %M* its place, and any
 * variable its initial value.  What others may write by VAR_ACCESS is SHARED.
 */
#ifndef KEEPCLEAR_CHECK_ELSEWHERE_H
#define KEEPCLEAR_CHECK_ELSEWHERE_H

#include "check/draft.h"

/* Everything has its slots, and no body is checked yet. */
void elsewhere_read(struct draft *draft);

#endif
