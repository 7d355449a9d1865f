/* unknown.h - UNKNOWN name: blocks and functions of which the text holds the
 * parameters only.
 *
 * Their body is made here: every output, every VAR_IN_OUT, every global that
 * the header names and the result take any value at each call.  Where there
 * are statements all the same, they are not run, but the globals and places
 * that they name, or those of what they call, are treated like the header's.
 */
#ifndef KEEPCLEAR_CHECK_UNKNOWN_H
#define KEEPCLEAR_CHECK_UNKNOWN_H

#include "check/draft.h"

/* Marks the units that the review declares UNKNOWN; once, before any is
 * declared. */
void unknown_mark(struct draft *draft);

/* Is this section of an unknown unit left aside? */
bool unknown_skips(const struct unit *unit, enum tree_section section);

/* Makes the body of an unknown unit. */
void unknown_body(struct draft *draft, struct unit *unit);

#endif
