/* machine.h - texts of the review that run: wiring, mechanisms, recorders. */
#ifndef KEEPCLEAR_CHECK_MACHINE_H
#define KEEPCLEAR_CHECK_MACHINE_H

#include "check/draft.h"

/* Declares the names and variables of all these texts, and their slots. */
void machine_declare(struct draft *draft);

/* Checks wiring and mechanisms with their movements. */
void machine_bodies(struct draft *draft);

/* Checks recorders; program inputs are bound. */
void machine_recorders(struct draft *draft);

#endif
