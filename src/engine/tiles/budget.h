/* budget.h - bytes that a run holds, all its threads together, against the most
 * that it may hold. */
#ifndef KEEPCLEAR_ENGINE_TILES_BUDGET_H
#define KEEPCLEAR_ENGINE_TILES_BUDGET_H

#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>

struct budget {
    _Atomic uint64_t held;
    uint64_t most; /* 0: no limit */
};

/* Zeroed memory; NULL when there is none or the limit would be passed. */
void *budget_take(struct budget *budget, size_t bytes);

/* Gives back what budget_take gave; NULL is allowed. */
void budget_give(struct budget *budget, void *at, size_t bytes);

#endif
