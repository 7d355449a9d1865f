/* relate.h - comparisons and negation in their one normal form.
 *
 * A strict comparison is the negation of a weak one, or, with a constant, a
 * weak one with the neighbouring constant: so that a condition and its
 * opposite are found to be just that.  FLAT_LT is never made.
 */
#ifndef KEEPCLEAR_LOGIC_RELATE_H
#define KEEPCLEAR_LOGIC_RELATE_H

#include "logic/flat.h"

struct flat_builder;

/* NOT expr, for a boolean. */
flat_expr relate_not(struct flat_builder *table, flat_expr expr);

/* x = y, x <= y; branches inside x and y are not looked at. */
flat_expr relate_eq(struct flat_builder *table, flat_expr x, flat_expr y);
flat_expr relate_le(struct flat_builder *table, flat_expr x, flat_expr y);

#endif
