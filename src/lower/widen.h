/* widen.h - finds what every variable can hold. */
#ifndef KEEPCLEAR_LOWER_WIDEN_H
#define KEEPCLEAR_LOWER_WIDEN_H

#include "lower/bounds.h"

struct arena;
struct diags;
struct model;

/* Bounds per slot, aligned, that every scan keeps; in the arena.  NULL when
 * a timer has no usable one: a record in diags says so. */
const struct bounds *widen_bounds(struct arena *arena,
                                  const struct model *model,
                                  struct diags *diags);

#endif
