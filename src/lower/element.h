/* element.h - elements of arrays that a computed index chose.
 *
 * After `c[i] := c[i] + 1` each element depends on all of them as it stands:
 * its new value asks for c[i], whichever that is.  Where i is its own index
 * that is the element itself, elsewhere it keeps what it had.  Said so, an
 * element depends on itself and on i, and a slice of it leaves out the rest.
 */
#ifndef KEEPCLEAR_LOWER_ELEMENT_H
#define KEEPCLEAR_LOWER_ELEMENT_H

#include "lower/sym.h"

/* Something was written into the slot where `when` holds. */
void element_note(struct sym *sym, uint32_t slot, flat_expr when);

/* The value that a slot has, the same but split by what was noted, where it
 * then reads fewer cells: what is read within the text. */
flat_expr element_value(struct sym *sym, uint32_t slot, flat_expr value);

/* Between texts: all values of slots that something was noted of become the
 * same but split by that, where they then read fewer cells; what was noted is
 * forgotten. */
void element_settle(struct sym *sym);

#endif
