/* leaf.h - what a name reads at a moment of the scan (docs/notes/step.md,
 * section 1), as far as no text has to be run for it. */
#ifndef KEEPCLEAR_LOWER_LEAF_H
#define KEEPCLEAR_LOWER_LEAF_H

#include "lower/sym.h"

/* A variable by its slot. */
flat_expr leaf_slot(struct sym *sym, uint32_t slot, enum code_when when);

/* Position of a control, sound value of a contact. */
flat_expr leaf_hand(struct sym *sym, uint32_t control,
                    enum code_when when);
flat_expr leaf_contact(struct sym *sym, uint32_t contact,
                       enum code_when when);

/* The other leaves: FALSE when expr is none of them; *value gets it. */
bool leaf_other(struct sym *sym, const struct code_expr *expr,
                flat_expr *value);

#endif
