/* number.h - whole numbers that depend on variables: base + unit * bits.
 *
 * Times are multiples of a step and positions lie far from 0; kept apart,
 * base and unit cost no bits.  A unit of 0 makes a constant.  Every result
 * is exact for 64 bits that wrap, wherever its value lies in the range
 * given.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_NUMBER_H
#define KEEPCLEAR_ENGINE_SETS_NUMBER_H

#include "engine/sets/bits.h"
#include "logic/range.h"

struct number {
    int64_t base, unit; /* unit >= 0 */
    struct bits bits;
    struct range range; /* every value lies here */
};

struct number number_constant(int64_t value);
struct number number_truth(struct calculator c, set truth);

/* values[i] where the index bits, none of which is a sign, say i; count >=
 * 1.  What is no index stands for one of the values as well, so that open
 * index bits stand for the values and nothing else. */
struct number number_of_table(struct calculator c, struct bits index,
                              const int64_t *values, uint32_t count);

/* op: FLAT_ADD to FLAT_MEET; range: of the result. */
struct number number_arithmetic(struct calculator c, enum flat_op op,
                                const struct number *a,
                                const struct number *b, struct range range);
struct number number_choose(struct calculator c, set condition,
                            const struct number *yes,
                            const struct number *no, struct range range);

/* op: FLAT_EQ, FLAT_LT or FLAT_LE. */
set number_relation(struct calculator c, enum flat_op op,
                    const struct number *a, const struct number *b);
set number_is_true(struct calculator c, const struct number *a);

/* (value - low) / unit as n bits; fits gets where the value is one of low,
 * low + unit, .. up to high; where it is not, the nearest such number below
 * is taken, or the lowest, or the number `most`. */
struct bits number_units(struct calculator c, const struct number *a,
                         struct range cell, int64_t unit, set *fits);

#endif
