/* control.h - the control text: globals, programs, bodies. */
#ifndef KEEPCLEAR_CHECK_CONTROL_H
#define KEEPCLEAR_CHECK_CONTROL_H

#include "check/draft.h"

/* Declares globals and all programs, and makes their slots. */
void control_declare(struct draft *draft);

/* Checks the bodies of all units needed so far that were not yet checked,
 * and of those that they need. */
void control_bodies(struct draft *draft);

/* Refuses functions that call themselves, and those called from review text
 * whose result depends on more than their inputs. */
void control_finish(struct draft *draft);

#endif
