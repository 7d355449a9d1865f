/* another.h - a second fault after one that was not noticed.
 *
 * DESPITE 1 FAULT AND ANOTHER AFTER AN UNNOTICED ONE depends on what the
 * machine notices: that is asked first, for each cause alone.
 */
#ifndef KEEPCLEAR_STUDY_ANOTHER_H
#define KEEPCLEAR_STUDY_ANOTHER_H

#include "study/despite.h"
#include "study/noticed.h"

/* Sets what the requirement is asked to survive (despite.h), if that is not
 * done yet; ends as for noticed_ask. */
const struct despite *another_despite(struct study *study,
                                      struct dead_ends *ends,
                                      uint32_t requirement);

#endif
