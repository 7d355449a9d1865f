/* instance.h - an instance of a block as a type of elements and fields. */
#ifndef KEEPCLEAR_CHECK_INSTANCE_H
#define KEEPCLEAR_CHECK_INSTANCE_H

#include "check/draft.h"

/* The one type of all instances of a unit, which is declared. */
const struct type *instance_type(struct draft *draft, struct unit *unit);

#endif
