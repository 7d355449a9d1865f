/* many.h - a value of the flat logic over the variables of a diagram: for
 * each value that it can have, the diagram of where it has it. */
#ifndef KEEPCLEAR_BENCH_MANY_H
#define KEEPCLEAR_BENCH_MANY_H

#include <bdd.h>
#include <stdint.h>

#include "logic/flat.h"

struct many {
    uint32_t n;
    int64_t *value; /* ascending */
    BDD *at;        /* each referenced */
};

struct many many_constant(int64_t value);

/* 0 or 1. */
struct many many_truth(BDD yes);

/* Where it is not 0; referenced. */
BDD many_yes(const struct many *m);

/* Children as far as the operation has them. */
struct many many_apply(enum flat_op op, const struct many *a,
                       const struct many *b, const struct many *c);

/* Takes n pairs in any order, values may come more than once; the arrays
 * and the references pass on. */
struct many many_of(uint32_t n, int64_t *value, BDD *at);

/* Replaces *slot by a result, references kept right. */
void own(BDD *slot, BDD result);

#endif
