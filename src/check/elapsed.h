/* elapsed.h - how long a timer must be followed whose ET goes beyond PT. */
#ifndef KEEPCLEAR_CHECK_ELAPSED_H
#define KEEPCLEAR_CHECK_ELAPSED_H

#include "check/flow.h"

/* Sets `told` of all clocks.  Where ET, and all that it is copied to, meets
 * nothing but constants, the last place at which a comparison changes; else
 * the end of its type. */
void elapsed_limit(struct draft *draft, const struct flow *flow);

#endif
