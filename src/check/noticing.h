/* noticing.h - the section NOTICING, and what stands behind DESPITE of it. */
#ifndef KEEPCLEAR_CHECK_NOTICING_H
#define KEEPCLEAR_CHECK_NOTICING_H

#include "check/draft.h"

/* Checks the section, before the requirements. */
void noticing_check(struct draft *draft);

/* AND ANOTHER and EXCEPT of a requirement; false when a mistake was
 * reported. */
bool noticing_despite(struct draft *draft,
                      const struct tree_requirement *tree,
                      struct requirement *row);

#endif
