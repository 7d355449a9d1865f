/* ties.h - assumptions that are tied to something by a cell or a choice
 * that both read.  Power, which all of it shares, ties nothing. */
#ifndef KEEPCLEAR_LOGIC_TIES_H
#define KEEPCLEAR_LOGIC_TIES_H

#include "logic/forms.h"

struct reach;
struct ties;

/* What each assumption reads directly.  Lies in the arena of the forms. */
const struct ties *ties_new(const struct forms *forms);

/* Does the assumption read a cell or choice that is in the reach? */
bool ties_touch(const struct ties *ties, uint32_t assumption,
                const struct reach *reach);

/* Numbers the groups of assumptions that share anything in what they read,
 * directly or through cells or through one another.  group: per assumption
 * FLAT_NONE where it is left out, anything else before; afterwards the
 * number of its group, counted in order of the first assumption of each.
 * The result is the number of groups. */
uint32_t ties_group(const struct forms *forms, uint32_t *group);

#endif
