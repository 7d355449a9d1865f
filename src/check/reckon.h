/* reckon.h - values that are known before the first scan, computed. */
#ifndef KEEPCLEAR_CHECK_RECKON_H
#define KEEPCLEAR_CHECK_RECKON_H

#include "check/draft.h"

/* A known value; type NULL: a whole number that fits any integer type. */
struct constant {
    const struct type *type;
    int64_t value;
};

/* sides[0] op sides[1].  False where there is no such value: *wrong says why,
 * NULL where a further round of the check will know it (real.h). */
bool reckon(struct draft *draft, enum tree_op op, struct constant sides[2],
            struct constant *out, const char **wrong);

#endif
