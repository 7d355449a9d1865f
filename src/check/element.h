/* element.h - elements of arrays and fields of structures in a path. */
#ifndef KEEPCLEAR_CHECK_ELEMENT_H
#define KEEPCLEAR_CHECK_ELEMENT_H

#include "check/env.h"

/* Where a path has come to: a place, and what lies there. */
struct element {
    struct code_variable variable;
    const struct type *type;
    uint32_t part; /* slots of fields and known indices gone behind the
                      beginning of its variable */
};

/* One part further.  env NULL: indices must be known before the start.
 * False when a mistake was reported. */
bool element_step(struct draft *draft, struct env *env,
                  const struct path_part *part, struct element *at);

#endif
