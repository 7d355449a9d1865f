/* relation.h - one form of a slice as diagrams. */
#ifndef KEEPCLEAR_BENCH_RELATION_H
#define KEEPCLEAR_BENCH_RELATION_H

#include <bdd.h>
#include <stdbool.h>

struct order;

struct relation {
    BDD steps; /* over now and next: some choice leads from one to the other;
                  first form: over next alone */
    BDD watch; /* over now: some choice at which the question holds */
};

/* Both referenced. */
struct relation relation_build(const struct order *order, bool first);

#endif
