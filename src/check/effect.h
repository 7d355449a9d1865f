/* effect.h - what a declared fault does, and at which places. */
#ifndef KEEPCLEAR_CHECK_EFFECT_H
#define KEEPCLEAR_CHECK_EFFECT_H

#include "check/draft.h"

/* Adds the effects of fault number `fault`; all signals, wiring and machine
 * variables are declared.  Mistakes are reported. */
void effect_declare(struct draft *draft, const struct tree_fault *tree,
                    uint32_t fault);

/* The ON WHEN of each sensor as faults displace it; ON WHEN is checked. */
void effect_displaced(struct draft *draft);

#endif
