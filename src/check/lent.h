/* lent.h - inputs and constants that are handed over to a VAR_IN_OUT.
 *
 * That is a way to hand over an array without copying it.  It is refused
 * where the callee, or one that it hands it on to, assigns it.
 */
#ifndef KEEPCLEAR_CHECK_LENT_H
#define KEEPCLEAR_CHECK_LENT_H

#include "check/draft.h"

/* Reports each that is written; all bodies are checked. */
void lent_report(struct draft *draft);

#endif
