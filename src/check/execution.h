/* execution.h - EN and ENO that a block or function declares itself.
 *
 * Where EN is FALSE the standard does not run the body, and controllers that
 * take EN for any other input do: both may happen at each call.  Where it is
 * not run ENO is FALSE, a block's other outputs stay, and what a function
 * gives is anything.  Whether ENO is TRUE before a body that says nothing of
 * it is left open as well.
 */
#ifndef KEEPCLEAR_CHECK_EXECUTION_H
#define KEEPCLEAR_CHECK_EXECUTION_H

#include "check/env.h"

/* Does it declare EN, so that a call gives it as it gives any input? */
bool execution_declared(const struct unit *unit);

/* Puts the body of a block or function, already made, under its EN. */
void execution_wrap(struct env *env, struct unit *unit);

#endif
