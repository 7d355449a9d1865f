/* handlogic.h - the logic as it is seen by somebody who tests by hand: the
 * positions of controls, where the machine stands, what the actuators do,
 * and which obligations are met in a scan.
 */
#ifndef KEEPCLEAR_STUDY_HANDLOGIC_H
#define KEEPCLEAR_STUDY_HANDLOGIC_H

#include "study/obligation.h"

/* A value as it is after a judging. */
struct hand_value {
    uint32_t cell;     /* of the slice; FLAT_NONE: it always is `low` */
    int64_t low, high; /* no value lies outside */
};

struct handlogic {
    const struct model *model;
    const struct slice *slice; /* no faults, movements at any time */
    uint32_t power;            /* choice row: does power go? MODEL_NONE: it
                                  never does */
    const struct hand_value *machine; /* per variable that moves: */
    const uint32_t *movement; /* per such: one of its movements */
    uint32_t n_machine;
    bool can_stand;       /* no text of the mechanism changes anything by
                             itself: a machine that cannot move is one of
                             those followed here */
    const struct hand_value *output;  /* per actuator */
    const uint32_t *mark; /* per obligation that is watched: value of the
                             slice that is 1 where it is met in a scan */
    const bool *of_control; /* per cell of the slice: of a variable of the
                               control text */
    const bool *outlives; /* per cell of the slice: of machine or wiring, or
                             retained, so that a loss of power leaves it as it
                             is */
};

/* Lies in the study's arena. */
const struct handlogic *handlogic_of(struct study *study,
                                     const struct obligations *obligations);

/* Can a variable stand there when power comes?  Elsewhere it would have to
 * be brought first, and the playing begins with power-up. */
bool handlogic_begins(const struct handlogic *logic, uint32_t machine,
                      int64_t at);

#endif
