/* present.h - which faults are present after step 2 of a scan. */
#ifndef KEEPCLEAR_LOGIC_PRESENT_H
#define KEEPCLEAR_LOGIC_PRESENT_H

#include "logic/flat.h"

struct flat_builder;

/* One fault that counts. */
struct appearing {
    flat_expr before;  /* present at the previous judging */
    flat_expr choice;  /* it appears now, if it may */
    flat_expr present; /* result */
};

/* Fills present in declared order; at most `most` of the count faults are
 * ever present. */
void present_count(struct flat_builder *table, struct appearing *faults,
                   uint32_t count, uint32_t most);

#endif
