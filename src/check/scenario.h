/* scenario.h - SCENARIO sections: what each step acts on, and whether the
 * steps stand in an order that can be played. */
#ifndef KEEPCLEAR_CHECK_SCENARIO_H
#define KEEPCLEAR_CHECK_SCENARIO_H

#include "check/draft.h"

/* All scenarios; the choices are made, and there is no mistake so far. */
void scenario_all(struct draft *draft);

#endif
