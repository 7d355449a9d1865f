/* monitor.h - judging the requirements (docs/notes/step.md, 5). */
#ifndef KEEPCLEAR_REFERENCE_MONITOR_H
#define KEEPCLEAR_REFERENCE_MONITOR_H

#include "reference/scan.h"

/* Judges one requirement: sets its breach and triggers in the scan and its
 * memory in the state.  Stops at a run-time error. */
void monitor_judge(struct scan *scan, uint32_t requirement);

#endif
