/* step.h - one scan from time to judging (docs/notes/step.md, 3). */
#ifndef KEEPCLEAR_REFERENCE_STEP_H
#define KEEPCLEAR_REFERENCE_STEP_H

#include "reference/scan.h"

/* Runs one scan.  Of the scan structure, setting, choices and before are
 * given; now becomes the state after the judging.  assumption gets the
 * number of the one that does not hold, when the end is STEP_NOT_ALLOWED. */
enum step_end step_run(struct scan *scan, uint32_t *assumption);

#endif
