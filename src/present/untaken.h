/* untaken.h - branches of the control text that nothing can reach. */
#ifndef KEEPCLEAR_PRESENT_UNTAKEN_H
#define KEEPCLEAR_PRESENT_UNTAKEN_H

#include <stdint.h>

#include "study/findings.h"

struct sources;
struct text;

/* One line a branch that nothing can reach, and of those for which that is
 * not known, each under its heading; nothing when there are none.  states:
 * per branch site of the model.  Gives the number of branches told. */
uint32_t untaken_add(struct text *out, const struct model *model,
                     const enum branch_state *states,
                     const struct sources *sources);

#endif
