/* controller.h - the section CONTROLLER of a review text, and where the control
 * text comes across what controllers do differently. */
#ifndef KEEPCLEAR_CHECK_CONTROLLER_H
#define KEEPCLEAR_CHECK_CONTROLLER_H

#include "check/draft.h"

/* Reads the section CONTROLLER into the model, before any code is
 * checked. */
void controller_read(struct draft *draft);

/* The value that a variable of control text begins with where none is
 * written; FALSE, and reported, where that cannot be said. */
bool controller_begins(struct draft *draft, const struct type *type,
                    struct span span, int64_t *value);

/* Is this the PT that a timer took at its start?  RETAIN ANY leaves it out:
 * the age beside it is refused there, having too many values. */
bool controller_holds(const struct slot *slot);

/* The control text leads to such a place. */
void controller_touch(struct draft *draft, enum setting_kind kind);

/* Behind all texts: slots for what nobody knows, as far as it is
 * touched; the values of a choice of one. */
void controller_slots(struct draft *draft);
void controller_values(struct draft *draft, uint32_t slot,
                    struct choice *choice);

#endif
