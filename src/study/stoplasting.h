/* stoplasting.h - how long motion outlasts a stop.
 *
 * Of an actuator: it was on at the judging before the one from which on the
 * stop is pressed, and stays on without a break; how many judgings can it be
 * on with the stop pressed?  Of a part: it changes in the n-th machine step
 * behind the judging from which on the stop is pressed, and none of the
 * actuators that drive it has come on since; what is the largest n?
 *
 * What comes on while the stop is pressed begins anew: a rescue control does
 * that, and it is not counted here.
 */
#ifndef KEEPCLEAR_STUDY_STOPLASTING_H
#define KEEPCLEAR_STUDY_STOPLASTING_H

#include "base/vec.h"
#include "study/seenings.h"
#include "study/stopmap.h"

struct stoplasting_of {
    uint32_t group;    /* of seenings */
    struct stopmap_cell *cell; /* gets the answer */
    flat_expr column;  /* it is pressed */
    flat_expr moving;  /* actuator: on; part: changed in this machine step */
    bool part;
    const flat_expr *drivers; /* part: is this actuator on? */
    uint32_t n_drivers;
};

/* All zero to begin with but seen. */
struct stoplasting {
    struct seenings *seen;
    VEC(struct stoplasting_of) of;
};

/* By ascending group. */
void stoplasting_put(struct stoplasting *lasting, struct stoplasting_of of);

/* Asks all that was put; frees what it holds. */
void stoplasting_ask(struct stoplasting *lasting);

#endif
