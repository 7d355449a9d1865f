/* faultcsv.h - what a study of faults found, as a table to go on with.
 *
 * Comma-separated values as RFC 4180 has them: a heading, then a line for
 * each set of faults and requirement, and one for each fault that is
 * excluded.  The columns are those of a failure mode and effects analysis
 * (IEC 60812:2018, from memory); what only people can judge is left blank.
 */
#ifndef KEEPCLEAR_PRESENT_FAULTCSV_H
#define KEEPCLEAR_PRESENT_FAULTCSV_H

struct fault_findings;
struct sources;
struct text;

void faultcsv_add(struct text *out, const struct fault_findings *found,
                  const struct sources *sources);

#endif
