/* relay.h - faults of relays: BOOL variables of WIRING (docs/notes/step.md,
 * section 3). */
#ifndef KEEPCLEAR_LOWER_RELAY_H
#define KEEPCLEAR_LOWER_RELAY_H

#include "lower/sym.h"

/* What the slot holds when this value is assigned to it: the value itself
 * where it is no relay with faults. */
flat_expr relay_holds(struct sym *sym, uint32_t slot, flat_expr value);

/* A wiring of this home begins: coils without current drop, and those with a
 * current of their own pull, whether the text assigns them or not. */
void relay_begin(struct sym *sym, enum slot_home home);

#endif
