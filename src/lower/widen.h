/* widen.h - finds what every variable can hold. */
#ifndef KEEPCLEAR_LOWER_WIDEN_H
#define KEEPCLEAR_LOWER_WIDEN_H

#include "lower/bounds.h"

struct arena;
struct diags;
struct lower_limits;
struct model;
struct will;

/* What is asked: will as for sym_init; limits NULL: none. */
struct widen_asked {
    const struct model *model;
    const struct will *will;
    const struct lower_limits *limits;
    struct diags *diags;
};

/* Bounds per slot, aligned, that every scan keeps; in the arena.  NULL when
 * a timer has no usable one: a record in diags says so; or when a limit was
 * met: then *stopped. */
const struct bounds *widen_bounds(struct arena *arena,
                                  const struct widen_asked *asked,
                                  bool *stopped);

#endif
