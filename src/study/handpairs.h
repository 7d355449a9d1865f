/* handpairs.h - what alone keeps hands from turning something on.
 *
 * Where a step turns something on, the same step with one more control away
 * from rest, or with the machine standing elsewhere, may not.  Both together
 * show that this one condition decides: a pair in the sense of unique-cause
 * MC/DC (ISO/IEC/IEEE 29119-4) of the decision on that output, as far as an
 * operator can bring it about and for sure.
 */
#ifndef KEEPCLEAR_STUDY_HANDPAIRS_H
#define KEEPCLEAR_STUDY_HANDPAIRS_H

struct finder;

/* Writes sequences for the effects that were reached in this round, and counts
 * the pairs. */
void handpairs_write(struct finder *finder);

#endif
