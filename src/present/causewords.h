/* causewords.h - the faults of a review in words: how many may occur, when
 * each is there, what counts as one, what is excluded and why. */
#ifndef KEEPCLEAR_PRESENT_CAUSEWORDS_H
#define KEEPCLEAR_PRESENT_CAUSEWORDS_H

#include <stdbool.h>
#include <stdint.h>

struct model;
struct requirement;
struct text;

/* "any one of 12 faults · left out: F3, water". */
void causewords_despite(struct text *out, const struct model *model,
                        const struct requirement *requirement);

/* Lines of the conditions, each behind two blanks. */
void causewords_conditions(struct text *out, const struct model *model);

/* Of these the lines that say what counts as one, what is not counted, and
 * what is excluded; false: there is none. */
bool causewords_counting(struct text *out, const struct model *model);

/* "from now on F1: the valve sticks", "for now" where it may go again; or
 * that it is there no longer. */
void causewords_change(struct text *out, const struct model *model,
                       uint32_t fault, bool present);

#endif
