/* bind.h - which signal drives which control variable. */
#ifndef KEEPCLEAR_CHECK_BIND_H
#define KEEPCLEAR_CHECK_BIND_H

#include "check/draft.h"

/* FIXED and SHARED; wiring is not checked yet. */
void bind_fixed(struct draft *draft);

/* Contacts, sensors, actuators and WIRING IN; control text, wiring and
 * mechanism are checked. */
void bind_signals(struct draft *draft);

/* What is left free: inputs, and variables read but written by no text.  All
 * texts are checked. */
void bind_free(struct draft *draft);

#endif
