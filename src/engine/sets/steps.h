/* steps.h - counts what the library of decision diagrams does, from within
 * its operations.
 *
 * A step is a node that the library makes or finds.  Its recursions take one
 * for each pair or triple of nodes that they meet, so that an operation that
 * makes no new nodes counts as well.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_STEPS_H
#define KEEPCLEAR_ENGINE_SETS_STEPS_H

#include <stdbool.h>
#include <stdint.h>

/* Steps so far, of whoever uses the library. */
uint64_t steps_made(void);

/* Nodes that were looked at outside of its operations; so far. */
void steps_look(uint64_t nodes);
uint64_t steps_looked(void);

/* After `steps` more, and then again and again after as many, calls the
 * listener; NULL: never.  Between two steps all nodes are in order, so that
 * the listener may leave the operation by a jump. */
void steps_listen(void (*listener)(void *context), void *context,
                  uint64_t steps);

/* From now on so many steps are allowed, for all operations together. */
void steps_bind(uint64_t steps);

/* Are they used up?  Then what was made since steps_bind is not to be
 * believed. */
bool steps_passed(void);

/* Ends that.  False: they were used up. */
bool steps_unbind(void);

#endif
