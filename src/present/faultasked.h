/* faultasked.h - what a table of faults asked, in one sentence with its
 * totals, and how to read the table. */
#ifndef KEEPCLEAR_PRESENT_FAULTASKED_H
#define KEEPCLEAR_PRESENT_FAULTASKED_H

struct fault_findings;
struct text;

/* Single faults times requirements: how many answers, and which. */
void faultasked_totals(struct text *out, const struct fault_findings *found);

/* What the columns mean, for somebody who never saw such a table. */
void faultasked_legend(struct text *out, const struct fault_findings *found);

#endif
