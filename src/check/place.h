/* place.h - variables that stand at places in the controller, AT %QX0.1, and
 * places that statements name without a declaration.
 *
 * What stands at the same place with the same type as a global variable, or
 * one of a program that was declared before, is that variable.  Others that
 * may share a part of a place: overlap.h.
 */
#ifndef KEEPCLEAR_CHECK_PLACE_H
#define KEEPCLEAR_CHECK_PLACE_H

#include "check/draft.h"

/* A located variable was declared: of the globals, or of the unit that is
 * being declared. */
void place_declared(struct draft *draft, const struct tree_var *var,
                    const struct symbol *symbol);

/* The variable, of the globals, of a program or declared before in this unit,
 * that this one is: at its place, and of its type.  NULL: it is one of its
 * own. */
const struct symbol *place_shared(struct draft *draft,
                                  const struct scope *scope,
                                  const struct tree_var *var);

/* Is it a place that needed statements name and nobody declares? */
bool place_needed(const struct draft *draft, const struct tree_var *var);

/* The variable at a place; false where there is none. */
bool place_find(const struct draft *draft, const struct unit *unit,
                const struct name *name, struct symbol *out);

#endif
