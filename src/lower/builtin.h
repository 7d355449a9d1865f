/* builtin.h - what a standard block does in one call. */
#ifndef KEEPCLEAR_LOWER_BUILTIN_H
#define KEEPCLEAR_LOWER_BUILTIN_H

#include "lower/sym.h"

/* Runs the block whose frame begins at slot frame, its inputs stored; span
 * is the call, for a PT without bound. */
void builtin_call(struct sym *sym, enum code_standard standard,
                   uint32_t frame, struct span span);

/* Step 1: running timers grow by one scan, not in the first.  control: those
 * of control text; else the others. */
void builtin_time_passes(struct sym *sym, bool control);

#endif
