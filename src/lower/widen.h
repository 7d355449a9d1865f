/* widen.h - finds what every variable can hold. */
#ifndef KEEPCLEAR_LOWER_WIDEN_H
#define KEEPCLEAR_LOWER_WIDEN_H

#include "lower/bounds.h"

struct arena;
struct diags;
struct model;
struct will;

/* Bounds per slot, aligned, that every scan keeps; in the arena.  NULL when
 * a timer has no usable one: a record in diags says so.  will as for
 * sym_init. */
const struct bounds *widen_bounds(struct arena *arena,
                                  const struct model *model,
                                  const struct will *will,
                                  struct diags *diags);

#endif
