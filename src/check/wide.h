/* wide.h - whole numbers of which too much is wanted.
 *
 * A value that comes in from outside is tried cell by cell, or value by
 * value where the texts do more than compare it with constants.  Where that
 * would be too many, the texts are checked anew, and what is computed of it
 * is left open, as with REALs: any value, anew at each execution; where the
 * result need not fit its type, the run-time error stays possible.  A
 * variable that is no input, and that nothing writes, stays as it begins
 * then: a condition that the result lists.
 */
#ifndef KEEPCLEAR_CHECK_WIDE_H
#define KEEPCLEAR_CHECK_WIDE_H

#include "check/env.h"

/* Asks for another round in which what stands there is left open.  False:
 * nothing new would come of it. */
bool wide_open_at(struct draft *draft, struct span span);

/* The same, for a slot that is to stay as it begins. */
bool wide_hold(struct draft *draft, uint32_t slot);

/* The expression, or any value in its place. */
struct code_expr *wide_value(struct env *env, struct code_expr *expr);

/* Does the slot stay as it begins?  *all: its whole variable does. */
bool wide_is_held(const struct draft *draft, uint32_t slot, bool *all);

#endif
