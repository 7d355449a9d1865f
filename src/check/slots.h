/* slots.h - one slot for each elementary value of a frame. */
#ifndef KEEPCLEAR_CHECK_SLOTS_H
#define KEEPCLEAR_CHECK_SLOTS_H

#include "check/draft.h"

/* Makes the slots of a frame under this path, from *base on; `like` gives
 * home, retain and span.  False when there are too many. */
bool slots_unfold(struct draft *draft, const struct unit *unit,
                 const char *path, const struct slot *like, uint32_t *base);

/* The same for rows that belong to no unit. */
bool slots_unfold_rows(struct draft *draft,
                      const struct code_frame_var *rows, size_t count,
                      const char *path, const struct slot *like);

#endif
