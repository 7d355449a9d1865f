/* seen.h - what was seen of a situation, as a set. */
#ifndef KEEPCLEAR_ENGINE_SETS_SEEN_H
#define KEEPCLEAR_ENGINE_SETS_SEEN_H

#include "engine/sets/observed.h"
#include "engine/sets/run.h"

/* The situations in which a cell has the value; held by the scope. */
set seen_having(struct sets *sets, uint32_t cell, int64_t value);

/* The same of number `which` of what was seen. */
set seen_showing(struct sets *sets, const struct observed *seen,
                 uint32_t which, int64_t value);

/* Those of a set that agree with all that was seen but number `but`; held by
 * the scope. */
set seen_agreeing(struct sets *sets, set from,
                  const struct observed *seen, uint32_t but);

#endif
