/* fault.h - FAULTS: their names, then where each acts and whether it can. */
#ifndef KEEPCLEAR_CHECK_FAULT_H
#define KEEPCLEAR_CHECK_FAULT_H

#include "check/draft.h"

/* Declares the names of all faults; signals are declared. */
void fault_declare(struct draft *draft);

/* What they do; wiring and machine variables are declared too. */
void fault_effects(struct draft *draft);

#endif
