/* faultwords.h - faults in the words in which they were declared. */
#ifndef KEEPCLEAR_PRESENT_FAULTWORDS_H
#define KEEPCLEAR_PRESENT_FAULTWORDS_H

#include <stdint.h>

struct cause;
struct effect;
struct model;
struct text;

/* "DOES NOT OPEN", "SHORT TO" (without what it touches) ...; of a place. */
const char *faultwords_kind(const struct effect *effect);
const char *faultwords_place(const struct model *model,
                             const struct effect *effect);

/* What of the machine a cause acts on, "left_a", several with commas; "the
 * mechanism".  Where that stands, as far as anything is said of it. */
void faultwords_item(struct text *out, const struct model *model,
                     const struct cause *cause);
void faultwords_where(struct text *out, const struct model *model,
                      const struct cause *cause);

/* "DOES NOT OPEN", "DISPLACED BY 1 ALONG gap"; of a group the different ones
 * of its faults. */
void faultwords_mode(struct text *out, const struct model *model,
                     const struct cause *cause);

/* Of a group: "one cause of F1 (stays), F2 (comes and goes)"; else nothing. */
void faultwords_members(struct text *out, const struct model *model,
                        const struct cause *cause);

/* When it may be there: "stays", "comes and goes", "from power-up"; of a group
 * with several of them "as its faults". */
const char *faultwords_timing(const struct model *model,
                              const struct cause *cause);

#endif
