/* decisive.h - the steps of a chain of causes as numbers in a timing
 * diagram. */
#ifndef KEEPCLEAR_PRESENT_DECISIVE_H
#define KEEPCLEAR_PRESENT_DECISIVE_H

#include <stdint.h>

struct arena;
struct model;
struct timing_mark;
struct why;

/* A mark for each step that has a lane of its own kind and a moment; their
 * numbers are those of the chain.  *n gets how many; in the arena. */
const struct timing_mark *decisive_marks(struct arena *arena,
                                         const struct model *model,
                                         const struct why *why, uint32_t *n);

#endif
