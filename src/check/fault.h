/* fault.h - FAULTS: where each acts and whether it can. */
#ifndef KEEPCLEAR_CHECK_FAULT_H
#define KEEPCLEAR_CHECK_FAULT_H

#include "check/draft.h"

/* Declares all faults; signals are declared. */
void fault_declare(struct draft *draft);

#endif
