/* handpairs.h - what alone keeps hands from turning something on.
 *
 * Where a step turns something on, the same step with one more control away
 * from rest, or with the machine standing elsewhere, may not.  Both together
 * show that this one thing decides, as an operator sees it.  The pairs of the
 * decisions in the control text are others (check/decision.h).
 */
#ifndef KEEPCLEAR_STUDY_HANDPAIRS_H
#define KEEPCLEAR_STUDY_HANDPAIRS_H

struct finder;

/* Writes sequences for the effects that were reached in this round, and counts
 * the pairs. */
void handpairs_write(struct finder *finder);

#endif
