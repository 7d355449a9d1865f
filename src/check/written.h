/* written.h - parts of written types, and what is known of their values. */
#ifndef KEEPCLEAR_CHECK_WRITTEN_H
#define KEEPCLEAR_CHECK_WRITTEN_H

#include "check/draft.h"

/* Reports a type that nobody declares; NULL. */
const struct type *written_unknown(struct draft *draft,
                                   const struct tree_type *tree);

/* May the type have a length, as STRING [40] has?  False when a mistake was
 * reported. */
bool written_length(struct draft *draft, const struct type *type,
                    const struct tree_type *tree);

/* A subrange of base. */
const struct type *written_subrange(struct draft *draft,
                                    const struct type *base, int64_t low,
                                    int64_t high);

/* A copy of the type that has a name. */
struct type *written_named(struct draft *draft, const struct type *target,
                           const struct name *name);

/* Reports an item that stands twice in one enumeration. */
void written_items(struct draft *draft, const struct tree_enum_item *items);

/* left op right for numbers (ADD .. MOD); false when it overflows int64 or
 * divides by zero. */
bool written_compute(enum tree_op op, int64_t left, int64_t right,
                     int64_t *value);

#endif
