/* convert.h - conversions between types, written X_TO_Y and TO_Y.
 *
 * Among BOOL, integers, bit strings and TIME (in milliseconds), and from an
 * enumeration to an integer.
 */
#ifndef KEEPCLEAR_CHECK_CONVERT_H
#define KEEPCLEAR_CHECK_CONVERT_H

#include "check/env.h"

struct conversion {
    const struct type *from; /* NULL: of whatever type the value is */
    const struct type *to;
};

/* Is this the name of a conversion? */
bool convert_named(struct draft *draft, const struct name *name,
                   struct conversion *conversion);

/* The value converted, or NULL when a mistake was reported. */
struct code_expr *convert_value(struct env *env,
                                const struct conversion *conversion,
                                struct code_expr *value, struct span span);

#endif
