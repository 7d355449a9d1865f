/* rounded.h - what REALs come to as whole numbers.
 *
 * A value of a REAL is one number of the texts or all between two of them
 * (type.h).  Rounded, it comes to one whole number or to several that follow
 * one another.
 */
#ifndef KEEPCLEAR_CHECK_ROUNDED_H
#define KEEPCLEAR_CHECK_ROUNDED_H

#include <stdint.h>

#include "check/type.h"

struct rounded {
    int64_t low, high;
};

/* What the value comes to in the type `to`, rounded as ROUNDING_ `how`; where
 * one of its numbers does not fit in there, or it is not-a-number, all of the
 * type. */
struct rounded rounded_of(const struct type *real, int64_t value,
                          uint32_t how, const struct type *to);

#endif
