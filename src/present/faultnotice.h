/* faultnotice.h - by when the machine notices faults, in the words of the
 * table of faults. */
#ifndef KEEPCLEAR_PRESENT_FAULTNOTICE_H
#define KEEPCLEAR_PRESENT_FAULTNOTICE_H

#include <stdint.h>

struct fault_findings;
struct text;

/* "never; a demand passes unnoticed after 0.5 s"; of several also which of
 * them go unnoticed alone, so that the others are second faults after one of
 * these.  Nothing where there is no NOTICING. */
void faultnotice_cell(struct text *out, const struct fault_findings *found,
                      const uint32_t *causes, uint32_t n);

/* How many are noticed in time, and what kind of fault each is. */
void faultnotice_summary(struct text *out,
                         const struct fault_findings *found);

/* Each shortest way to a demand at which faults are not noticed, as a log
 * sheet. */
void faultnotice_sequences(struct text *out,
                           const struct fault_findings *found);

#endif
