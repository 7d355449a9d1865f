/* spelling.h - spellings beyond the standard that are read all the same.
 *
 * Programming systems export control text in many spellings.  What is read
 * although the standard spells it otherwise is counted, and told once per
 * text and kind, so that nothing is taken in silence by those who ask.
 */
#ifndef KEEPCLEAR_LANG_SPELLING_H
#define KEEPCLEAR_LANG_SPELLING_H

#include "lang/spelled.h"

struct reading;

/* Counts one. */
void spelling_seen(struct reading *reading, enum spelling kind,
                   struct span span);

/* Says what was counted, as the run asks. */
void spelling_report(const struct reading *reading);

#endif
