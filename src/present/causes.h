/* causes.h - a chain of causes as numbered sentences. */
#ifndef KEEPCLEAR_PRESENT_CAUSES_H
#define KEEPCLEAR_PRESENT_CAUSES_H

struct sources;
struct text;
struct why;

/* One sentence per step, number 1 first, each cause that has a step of its
 * own with its number:
 *
 *      2. 0.3 s  lower_valve came on, because two_hand.out came on (3)
 *                (tailgate.st, line 134; tailgate.review, line 41)
 */
void causes_add(struct text *out, const struct why *why,
               const struct sources *sources);

#endif
