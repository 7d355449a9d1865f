/* remarks.h - the remarks of a careful reader. */
#ifndef KEEPCLEAR_PRESENT_REMARKS_H
#define KEEPCLEAR_PRESENT_REMARKS_H

#include <stdbool.h>
#include <stdint.h>

struct model;
struct sources;
struct text;

/* One line with their number, or all of them (full); then those accepted in
 * the review text, with the reasons.  How many lines there are; 0: nothing
 * was added. */
uint32_t remarks_add(struct text *out, const struct model *model,
                     const struct sources *sources, bool full);

#endif
