/* spread.h - all the slots that a variable behind indices can be. */
#ifndef KEEPCLEAR_CHECK_SPREAD_H
#define KEEPCLEAR_CHECK_SPREAD_H

#include "check/code.h"

/* Visits each slot of a variable of `size` slots that begins at `first` where
 * every index is the lowest; those that lie between the elements it can be
 * are not visited. */
void spread_visit(const struct code_variable *variable, uint32_t size,
                  uint32_t first, void (*visit)(void *context, uint32_t slot),
                  void *context);

#endif
