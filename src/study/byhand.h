/* byhand.h - sequences of steps that somebody can do by hand, to each
 * obligation and back to rest.
 *
 * A step moves one control, or two together, and then waits by a wrist watch
 * or until the machine is seen somewhere.  All situations that the machine
 * may then stand in are followed, so that what a step is said to reach or to
 * show is so however the machine answers, whatever inputs do that nobody
 * operates, and however early or late the hand was.
 */
#ifndef KEEPCLEAR_STUDY_BYHAND_H
#define KEEPCLEAR_STUDY_BYHAND_H

#include "study/handlogic.h"
#include "study/handstep.h"

struct byhand {
    enum explore_end end;  /* COMPLETE: the following was found; else which
                              limit ended it */
    const struct hand_sequence *sequences;
    uint32_t n_sequences;
    uint32_t tried;        /* steps looked at */
    bool gave_up;          /* more could have been tried */
    uint32_t n_pairs;      /* cases in which one control away from rest, or
                              where the machine stands, alone keeps
                              something from being turned on */
    bool from_power_up;    /* before each sequence power goes and returns;
                              else it may follow whatever went before */
    bool can_stand;        /* else there is no round with movement made
                              impossible: the mechanism changes by itself */
    const bool *left_out;  /* per control: it has too many positions to be
                              tried by hand, and stays at rest */
};

struct byhand_setting {
    uint32_t most_tried;  /* steps per round */
    uint32_t for_effects; /* where only effects and vectors are still looked
                             for */
    uint32_t for_vectors; /* besides, to try the hints of vectors */
    struct explore_setting explore;
};

/* Finds the sequences, and marks in `obligations` what they reach.  Lies in
 * the study's arena. */
const struct byhand *byhand_find(struct study *study,
                                 const struct handlogic *logic,
                                 const struct obligations *obligations,
                                 const struct byhand_setting *setting);

#endif
