/* relay.h - faults of relays: BOOL variables of WIRING. */
#ifndef KEEPCLEAR_REFERENCE_RELAY_H
#define KEEPCLEAR_REFERENCE_RELAY_H

#include "reference/scan.h"

/* A slot was just given a value by a text: if it is a relay, its faults make
 * of it what they do. */
void relay_stored(struct scan *scan, uint32_t slot);

/* The same for all relays of one wiring, before it runs. */
void relay_wake(struct scan *scan, enum slot_home home);

#endif
