/* handorder.h - what makes ready again behind a stop, in a wrong order.
 *
 * Where a step turns something on only after a control was held and let go (a
 * reset), and a stop ends that, two orders must turn nothing on: the control
 * is held already when the stop is pressed, and the control is pressed before
 * the stop is let out.  Each is tried where hands can be sure of it.
 */
#ifndef KEEPCLEAR_STUDY_HANDORDER_H
#define KEEPCLEAR_STUDY_HANDORDER_H

struct finder;

/* Writes a sequence for each control of that kind, with the first stop and
 * the first step that show it. */
void handorder_write(struct finder *finder);

#endif
