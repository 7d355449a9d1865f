/* choice.h - the table of free choices, in canonical order
 * (docs/notes/step.md, section 2). */
#ifndef KEEPCLEAR_CHECK_CHOICE_H
#define KEEPCLEAR_CHECK_CHOICE_H

#include "check/draft.h"

/* Makes the table and enters its row numbers everywhere; all texts are
 * checked and bound, and none has a mistake. */
void choice_make(struct draft *draft);

#endif
