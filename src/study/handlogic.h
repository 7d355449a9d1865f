/* handlogic.h - the logic as it is seen by somebody who tests by hand: the
 * positions of controls, where the machine stands, what the actuators do,
 * and which obligations are met in a scan.
 */
#ifndef KEEPCLEAR_STUDY_HANDLOGIC_H
#define KEEPCLEAR_STUDY_HANDLOGIC_H

#include "engine/sets/observed.h"
#include "study/obligation.h"

/* A value as it is after a judging. */
struct hand_value {
    uint32_t cell;     /* of the slice; FLAT_NONE: it always is `low` */
    int64_t low, high; /* no value lies outside */
};

struct handlogic {
    const struct model *model;
    const struct slice *slice; /* no faults, movements at any time */
    const struct hand_value *hand;    /* per control: its position */
    struct hand_value dark;           /* 1: no power */
    const struct hand_value *machine; /* per variable that moves: */
    const uint32_t *movement; /* per such: one of its movements */
    uint32_t n_machine;
    bool can_stand;       /* no text of the mechanism changes anything by
                             itself: a machine that cannot move is one of
                             those followed here */
    const struct hand_value *output;  /* per actuator */
    const uint32_t *met;  /* per obligation: cell that is 1 where it was met
                             in the scan; FLAT_NONE: it never is, or it
                             always is */
    const bool *always;   /* per obligation: that */
};

/* Lies in the study's arena. */
const struct handlogic *handlogic_of(struct study *study,
                                     const struct obligations *obligations);

/* What is seen of hands, power, where the machine stands and what was met;
 * values are the caller's to set: controls, then dark, then the machine's
 * variables, then the first `n` obligations, in their order. */
struct observed handlogic_seen(struct arena *arena,
                                  const struct handlogic *logic, uint32_t n,
                                  int64_t **value, bool **given);

#endif
