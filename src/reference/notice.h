/* notice.h - is a fault noticed, and in time (docs/notes/step.md, 13). */
#ifndef KEEPCLEAR_REFERENCE_NOTICE_H
#define KEEPCLEAR_REFERENCE_NOTICE_H

#include "reference/scan.h"

/* Judges NOTICING, if there is such a section: sets what is seen in the scan,
 * and its memory while faults are studied.  Stops at a run-time error. */
void notice_judge(struct scan *scan);

/* Has any cause of faults occurred that the requirement is asked to
 * survive? */
bool notice_fault(const struct scan *scan, const struct requirement *asked);

/* Did one of them occur in this scan? */
bool notice_appears(const struct scan *scan, const struct requirement *asked);

#endif
