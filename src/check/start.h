/* start.h - start values of a DATA_BLOCK, path := value. */
#ifndef KEEPCLEAR_CHECK_START_H
#define KEEPCLEAR_CHECK_START_H

#include "check/draft.h"

/* Gives each of them to the values of a variable of that type.  False when a
 * mistake was reported. */
bool start_values(struct draft *draft, const struct scope *scope,
                  const struct tree_stmt *starts, const struct type *type,
                  int64_t *values);

#endif
