/* range.h - between which bounds the values of an operator lie. */
#ifndef KEEPCLEAR_LOGIC_RANGE_H
#define KEEPCLEAR_LOGIC_RANGE_H

#include "logic/flat.h"

struct range {
    int64_t low, high; /* both included, low <= high */
};

/* Every value of the operator on values from a, b, c lies in the result.
 * Where 64 bits may be left, the result is everything.  Not for leaves. */
struct range range_of(enum flat_op op, struct range a, struct range b,
                      struct range c);

/* The range that holds both. */
struct range range_join(struct range a, struct range b);

/* What both have in common; false (result untouched) when nothing. */
bool range_meet(struct range a, struct range b, struct range *result);

#endif
