/* trigger.h - what must occur for a requirement to be put to the test
 * (docs/notes/step.md, section 5). */
#ifndef KEEPCLEAR_CHECK_TRIGGER_H
#define KEEPCLEAR_CHECK_TRIGGER_H

#include "check/draft.h"

/* Sets the triggers; all expressions of the requirement are there. */
void trigger_make(struct draft *draft, struct requirement *requirement);

#endif
