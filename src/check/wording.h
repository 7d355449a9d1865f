/* wording.h - types and values as people read them. */
#ifndef KEEPCLEAR_CHECK_WORDING_H
#define KEEPCLEAR_CHECK_WORDING_H

#include "check/draft.h"

/* The type as people read it, the ends of a subrange shown; in the arena. */
const char *wording_type(const struct draft *draft,
                         const struct type *type);

/* One of a type's values as a user writes it; in the arena. */
const char *wording_value(const struct draft *draft, const struct type *type,
                         int64_t value);

/* "low to high", its ends so; in the arena. */
const char *wording_range(const struct draft *draft, const struct type *type);

/* What to write where a value of the type must stand; in the arena. */
const char *wording_example(const struct draft *draft,
                            const struct type *type);

#endif
