/* random_machine.h - what random control texts and random review texts of a
 * machine are made with, and the control text (random_review.h). */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_MACHINE_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_MACHINE_H

#include "tests/support/random_review.h"

/* A text being made. */
struct maker {
    uint64_t seed;
    struct text *out;
    const char *const *bools; /* names of kind BOOL that may be read */
    unsigned n_bools;
    bool enums;               /* may read mode (control) or gap (review) */
    bool review;
    struct random_parts *parts;
};

/* The next random number below bound. */
unsigned machine_below(struct maker *m, unsigned bound);
bool machine_chance(struct maker *m, unsigned percent);

/* Appends an expression of kind BOOL; depth bounds the recursion. */
void machine_phrase(struct maker *m, unsigned depth);

void machine_control(struct maker *m);

#endif
