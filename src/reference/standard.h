/* standard.h - one call of a standard block (docs/notes/step.md, 4). */
#ifndef KEEPCLEAR_REFERENCE_STANDARD_H
#define KEEPCLEAR_REFERENCE_STANDARD_H

#include <stdint.h>

#include "check/code.h"
#include "reference/maker.h"

/* frame: the values of its instance, inputs already stored. */
void standard_call(enum code_standard which, int64_t *frame,
                   const struct maker *maker);

/* Time goes on in a timer, by what the maker's says. */
void standard_grow(int64_t *frame, const struct maker *maker);

/* The same of a counter (CTU, CTD, CTUD), whose type of numbers pou tells. */
void standard_count(const struct code_pou *pou, int64_t *frame,
                    const struct maker *maker);

#endif
