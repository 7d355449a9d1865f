/* opentimer.h - timers and counters of which nobody knows PT or PV.
 *
 * Where too many values come into question for it, all calls of the instance
 * leave its outputs open (wide.h): Q of a TON is FALSE where IN is, Q of a TOF
 * TRUE where IN is, all else is any value.
 */
#ifndef KEEPCLEAR_CHECK_OPENTIMER_H
#define KEEPCLEAR_CHECK_OPENTIMER_H

#include "check/env.h"
#include "check/resolve.h"

/* Is this call, whose arguments are checked, such a one?  Then *out is what
 * stands for it; *good: no mistake was reported. */
bool opentimer_call(struct env *env, const struct found *found,
                    struct code_stmt *out, bool *good);

/* An instance of such a kind is handed over, so that others call it: reported
 * where its calls are left open. */
bool opentimer_lent(struct env *env, const struct found *found,
                    struct span span);

#endif
