/* handstill.h - what still works, although something is away from rest.
 *
 * A switch that keeps one thing from being turned on must not keep others: a
 * weight limit ends the packing, and rescue must go on.  Where a step turns
 * something on, it is done once more with all those switches away from rest
 * that, as far as can be said, make no difference to it.
 */
#ifndef KEEPCLEAR_STUDY_HANDSTILL_H
#define KEEPCLEAR_STUDY_HANDSTILL_H

struct finder;

/* Writes the sequences, after those with pairs. */
void handstill_write(struct finder *finder);

#endif
