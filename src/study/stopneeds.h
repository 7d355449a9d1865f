/* stopneeds.h - what an actuator that can be on while a stop is pressed needs
 * to be so.
 *
 * First every input in every position, alone: does it stand so whenever the
 * actuator is on?  Where no hand is among these, the fewest controls of which
 * one at least is off its rest whenever it is on: of all of them those are
 * left out, in declared order, without which that stays so.
 */
#ifndef KEEPCLEAR_STUDY_STOPNEEDS_H
#define KEEPCLEAR_STUDY_STOPNEEDS_H

#include "base/vec.h"
#include "study/seenings.h"
#include "study/stopmap.h"

struct stopneeds_of {
    uint32_t group;  /* of seenings */
    const struct stopmap_column *column;
    struct stopmap_cell *cell; /* gets needs and hands */
    flat_expr when;  /* in this column, and on */
};

/* All zero to begin with but seen and map. */
struct stopneeds {
    struct seenings *seen;
    const struct stopmap *map;
    VEC(struct stopneeds_of) of;
};

/* By ascending group. */
void stopneeds_put(struct stopneeds *needs, struct stopneeds_of of);

/* Asks all that was put; frees what it holds. */
void stopneeds_ask(struct stopneeds *needs);

#endif
