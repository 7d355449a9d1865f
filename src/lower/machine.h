/* machine.h - step 3: movements and the texts of the mechanisms. */
#ifndef KEEPCLEAR_LOWER_MACHINE_H
#define KEEPCLEAR_LOWER_MACHINE_H

#include "lower/sym.h"

/* Moves the machine, not in the first scan; sets timed_may, timed_must and
 * moved, and keeps the movement clocks. */
void machine_moves(struct sym *sym);

#endif
