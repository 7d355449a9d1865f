/* handed.h - how values are handed on. */
#ifndef KEEPCLEAR_CHECK_HANDED_H
#define KEEPCLEAR_CHECK_HANDED_H

#include "check/code.h"

/* A conversion that changes nothing where it is no error? */
bool handed_keeps(const struct code_expr *expr);

/* Is this the PT of a timer, the PV of a counter?  Its argument is the line to
 * name. */
bool handed_duration(const struct code_pou *callee, uint32_t parameter);

/* a op b is b (what comes out) a. */
enum code_op handed_mirrored(enum code_op op);

#endif
