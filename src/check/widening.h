/* widening.h - what a further round of the check leaves open (wide.h). */
#ifndef KEEPCLEAR_CHECK_WIDENING_H
#define KEEPCLEAR_CHECK_WIDENING_H

#include "check/draft.h"

/* Asks for another round in which what stands there is left open.  False:
 * nothing new would come of it. */
bool widening_open(struct draft *draft, struct span span);

/* The same, for a slot that is to stay as it begins: without a review text
 * only. */
bool widening_hold(struct draft *draft, uint32_t slot);

/* Asks for another round in which the loop with this head, of which nobody
 * knows how often it runs, is followed for a few passes only. */
void widening_shorten(struct draft *draft, struct span head);

/* Is it? */
bool widening_is_short(const struct draft *draft, struct span head);

/* Is what stands there left open? */
bool widening_has(const struct draft *draft, struct span span);

/* Does the slot stay as it begins?  *all: its whole variable does. */
bool widening_is_held(const struct draft *draft, uint32_t slot, bool *all);

/* The same, so that these bits of a variable come from outside; those of the
 * rounds before. */
bool widening_part(struct draft *draft, struct span variable, uint64_t bits);
uint64_t widening_bits(const struct draft *draft, struct span variable);

/* The bounds of a dimension written [*], one of so many, as a call of an
 * earlier round gave them. */
void widening_bounds(const struct draft *draft, struct span span,
                     uint32_t n_dims, struct type_dim *dim);

/* An array is given to a parameter: where that has none yet, it takes its
 * bounds in another round.  False: it has others already. */
bool widening_gives_bounds(struct draft *draft, const struct type *parameter,
                           const struct type *given);

bool widening_same(struct span a, struct span b);

#endif
