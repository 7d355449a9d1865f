/* faulttable.h - what a study of faults found, in words.
 *
 * A table with one row for each fault, the sets of several faults that break
 * a requirement only together, by when the machine notices them, the
 * requirements that no set breaks, and what was not asked.
 */
#ifndef KEEPCLEAR_PRESENT_FAULTTABLE_H
#define KEEPCLEAR_PRESENT_FAULTTABLE_H

#include <stdbool.h>

struct fault_findings;
struct sources;
struct text;

/* All of it; sequences: each shortest sequence as a log sheet as well. */
void faulttable_add(struct text *out, const struct fault_findings *found,
                   const struct sources *sources, bool sequences);

#endif
