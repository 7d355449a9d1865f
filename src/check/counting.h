/* counting.h - what the control variable of a FOR was before the loop. */
#ifndef KEEPCLEAR_CHECK_COUNTING_H
#define KEEPCLEAR_CHECK_COUNTING_H

#include "check/code.h"

/* Does no value count that the control variable had before the FOR?  So it is
 * where all its values are known, or where it begins with a constant and
 * nothing but its own counting writes it before it ends (target.h). */
bool counting_afresh(const struct code_pou *pou,
                     const struct code_stmt *stmt);

#endif
