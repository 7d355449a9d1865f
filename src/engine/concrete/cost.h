/* cost.h - what a way through one scan costs, and which of two ways comes
 * first in the canonical order. */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_COST_H
#define KEEPCLEAR_ENGINE_CONCRETE_COST_H

#include <stdbool.h>
#include <stdint.h>

struct expander;
struct flat_choice;
struct plan;

/* Operator actions, faults and movements in one word, so that smaller words
 * come first.  Sums stay exact: cost_add stops on overflow. */
typedef uint64_t cost;

#define COST_NEVER UINT64_MAX /* no way at all */

/* COST_NEVER if either is. */
cost cost_add(cost a, cost b);

uint64_t cost_operator(cost c);
uint64_t cost_fault(cost c);
uint64_t cost_movement(cost c);

/* Of the leaf or dead end that an expander stands at, choices that are fixed
 * from outside included; it must have been made with PLAN_MOTIONS. */
cost cost_here(struct expander *x);

/* Per choice row what a value costs that is not the free one, whatever else is
 * decided: cost_here is never less than the sum of it. */
void cost_prices(const struct plan *plan, cost *price, uint32_t *free);

/* Writes the choices of where the expander stands, undecided ones at rest. */
void cost_choices(const struct expander *x, uint32_t *choices);

/* Does a come before b?  n choice rows of value indices each. */
bool cost_before(const struct flat_choice *rows, uint32_t n,
                 const uint32_t *a, const uint32_t *b);

#endif
