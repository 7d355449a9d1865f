/* carry.h - expressions of one builder, made anew in another.
 *
 * What has the same structure becomes the same number there, so that two
 * versions of a logic can be held against each other, and asked about
 * together.
 */
#ifndef KEEPCLEAR_LOGIC_CARRY_H
#define KEEPCLEAR_LOGIC_CARRY_H

#include "logic/build.h"

/* Makes every node of `from` in `to`; image[i] becomes what node i is there.
 * cell: per cell its number there; NULL: the same for all. */
void carry(struct flat_builder *to, const struct flat_builder *from,
           const uint32_t *cell, flat_expr *image);

#endif
