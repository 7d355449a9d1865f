/* setting.h - what the controller does, as a condition: a constant, but for
 * what nobody knows. */
#ifndef KEEPCLEAR_LOWER_SETTING_H
#define KEEPCLEAR_LOWER_SETTING_H

#include "lower/sym.h"

flat_expr setting_is(const struct sym *sym, enum setting_kind kind,
                     uint32_t choice);

/* The same of the block whose frame begins at that slot; those of texts of
 * the review are the standard's. */
flat_expr setting_of(const struct sym *sym, uint32_t frame,
                     enum setting_kind kind, uint32_t choice);

/* An operator with `turns`: its value, its error recorded. */
flat_expr setting_turned(struct sym *sym, const struct code_expr *expr,
                         flat_expr left, flat_expr right);

#endif
