/* spot.h - where a variable lies, symbolically.
 *
 * A spot is a list of slots, one for each value that its indices can have,
 * each with the condition under which it is the one.  At most one condition
 * holds; none does where an index lies outside its array, which is a
 * run-time error: what is read then does not matter, and nothing is written.
 */
#ifndef KEEPCLEAR_LOWER_SPOT_H
#define KEEPCLEAR_LOWER_SPOT_H

#include "check/code.h"
#include "lower/sym.h"

struct spot_at {
    uint32_t slot;
    flat_expr when;
};

struct spot {
    const struct spot_at *at;
    uint32_t n; /* at least 1 */
};

/* One slot; the same, so many slots behind. */
struct spot spot_of_slot(struct sym *sym, uint32_t slot);
struct spot spot_behind(struct sym *sym, struct spot spot,
                          uint32_t slots);

/* The element of an array that begins at spot; raises the error of one
 * outside. */
struct spot spot_element(struct sym *sym, struct spot spot,
                           const struct code_index *step, flat_expr index);

/* The value that lies `slots` behind it, and a new one there. */
flat_expr spot_read(struct sym *sym, struct spot spot, uint32_t slots,
                     enum code_when when);
void spot_write(struct sym *sym, struct spot spot, uint32_t slots,
                 flat_expr value);

#endif
