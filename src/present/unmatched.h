/* unmatched.h - what of two versions has no partner. */
#ifndef KEEPCLEAR_PRESENT_UNMATCHED_H
#define KEEPCLEAR_PRESENT_UNMATCHED_H

struct comparison;
struct text;

/* Inputs and outputs that only one of both has, and how to name a partner;
 * then how many other variables have none.  Nothing where all have one. */
void unmatched_add(struct text *out, const struct comparison *comparison);

#endif
