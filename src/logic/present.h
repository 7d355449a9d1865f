/* present.h - which causes of faults have occurred, and which faults are
 * present, after step 2 of a scan. */
#ifndef KEEPCLEAR_LOGIC_PRESENT_H
#define KEEPCLEAR_LOGIC_PRESENT_H

#include "base/cause_set.h"
#include "logic/flat.h"

struct flat_builder;

/* One cause that counts. */
struct occurring {
    flat_expr before;  /* it had occurred at the previous judging */
    flat_expr choice;  /* it occurs now, if it may */
    flat_expr present; /* result: it has occurred */
};

/* At most `most` causes ever occur, and never all of one set of `forbidden`,
 * whose numbers are places in the list of causes. */
struct occurring_limits {
    uint32_t most;
    const struct cause_set *forbidden;
    uint32_t n_forbidden;
};

/* Fills present in declared order. */
void present_count(struct flat_builder *table, struct occurring *causes,
                   uint32_t count, const struct occurring_limits *limits);

/* One fault with moments of its own. */
struct appearing {
    flat_expr before;  /* present at the previous judging */
    flat_expr choice;  /* it appears now, or goes */
    flat_expr enabled; /* one of its causes has occurred */
    bool goes;
};

flat_expr present_appears(struct flat_builder *table,
                          const struct appearing *fault);

#endif
