/* movement.h - what MOVES says (docs/notes/step.md, 3, step 3). */
#ifndef KEEPCLEAR_REFERENCE_MOVEMENT_H
#define KEEPCLEAR_REFERENCE_MOVEMENT_H

#include "reference/scan.h"

/* Looks at all conditions, advances the clocks, and lets at most one
 * movement per variable happen: before the texts of the mechanisms run. */
void movement_happen(struct scan *scan);

/* After the texts: a variable with a new value begins to wait anew. */
void movement_forget(struct scan *scan);

#endif
