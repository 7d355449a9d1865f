/* untaken.h - what of the control text nothing can reach, or only a fault. */
#ifndef KEEPCLEAR_PRESENT_UNTAKEN_H
#define KEEPCLEAR_PRESENT_UNTAKEN_H

#include <stdint.h>

#include "study/findings.h"

struct sources;
struct text;

/* One line a branch, each kind under its heading: those that nothing can
 * reach, that only a fault reaches (and which), and those of which it is not
 * known; then statements that stand in no such branch likewise.  Nothing when
 * there are none.  Gives the number of lines. */
uint32_t untaken_add(struct text *out, const struct model *model,
                     const struct taken *taken,
                     const struct sources *sources);

/* "All 143 statements of the control text are reached, 4 of them only with a
 * fault.", a line; nothing where there is no statement. */
void untaken_count(struct text *out, const struct model *model,
                   const struct taken *taken);

#endif
