/* unfold.h - variables of frames as slots of the model. */
#ifndef KEEPCLEAR_CHECK_UNFOLD_H
#define KEEPCLEAR_CHECK_UNFOLD_H

#include "check/draft.h"

/* Makes the slots of a frame under this path, from *base on; `like` gives
 * home, retain and span.  False when there are too many. */
bool unfold_unit(struct draft *draft, const struct unit *unit,
                 const char *path, const struct slot *like, uint32_t *base);

/* The same for rows that belong to no unit. */
bool unfold_rows(struct draft *draft,
                      const struct code_frame_var *rows, size_t count,
                      const char *path, const struct slot *like);

#endif
