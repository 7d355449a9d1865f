/* notice.h - step 8: NOTICING, and faults that excuse a breach. */
#ifndef KEEPCLEAR_LOWER_NOTICE_H
#define KEEPCLEAR_LOWER_NOTICE_H

#include "lower/sym.h"

/* Has a fault appeared, and does EXCEPT of requirement i count now?  Both are
 * FALSE where it has none.  Keeps its clock. */
struct excuse {
    flat_expr faulty, tolerated;
};
struct excuse notice_excuse(struct sym *sym, uint32_t requirement);

/* Judges NOTICING, if there is such a section: fills noticed, keeps its
 * memory. */
void notice_run(struct sym *sym);

#endif
