/* canonical.h - the one sequence that is shown of all shortest ones
 * (docs/notes/step.md, 6). */
#ifndef KEEPCLEAR_REFERENCE_CANONICAL_H
#define KEEPCLEAR_REFERENCE_CANONICAL_H

#include <stdint.h>

#include "reference/reached.h"

struct arena;

/* The canonical sequence to what is looked for, which is first found at
 * level `length` (>= 1) and whose levels below are complete: length
 * rows of n_choices value indices, in the arena.  Rows that do not count by
 * the setting are completed afterwards by the same rule. */
const uint32_t *canonical_sequence(struct arena *arena,
                                   const struct reached *reached,
                                   uint32_t length);

#endif
