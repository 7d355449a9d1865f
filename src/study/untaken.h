/* untaken.h - what a branch that was not run would have changed. */
#ifndef KEEPCLEAR_STUDY_UNTAKEN_H
#define KEEPCLEAR_STUDY_UNTAKEN_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/trace.h"

#define UNTAKEN_NONE UINT32_MAX

/* The first branch from number `from` on that was not run and would, as it is
 * written, have given the slot another value than this one (or called the
 * block whose variable it is); UNTAKEN_NONE where there is none. */
uint32_t untaken_branch(const struct trace_guard *guard, uint32_t from,
                        uint32_t slot, int64_t value);

/* Did this branch lead away, by itself, from statements that would have done
 * so? */
bool untaken_left(const struct trace_guard *guard, uint32_t slot,
                  int64_t value);

#endif
