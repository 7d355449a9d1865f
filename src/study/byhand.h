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

/* What a hand and a wrist watch can keep; common practice, no source. */
enum {
    HAND_EARLY_MS = 1000,   /* a wait may end so much too early, and
                               as late as it likes */
    HAND_APART_MS = 200,    /* two hands together differ by less */
    HAND_REACTION_MS = 1500,/* from what is seen to the next step, at most */
    HAND_USUAL_S = 2,       /* wait of a step */
    HAND_REST_S = 5         /* with everything at rest, before a sequence */
};

/* Value indices of the control's choice. */
struct hand_change {
    uint32_t control, from, to;
};

/* An actuator at the end of a step. */
struct hand_expected {
    bool sure; /* it has this value however the machine answered */
    int64_t value;
};

struct hand_step {
    struct hand_change changes[2]; /* together */
    uint32_t n_changes;            /* 0: only the wait */
    uint32_t seconds;              /* at least, by the watch; 0: until seen */
    uint32_t slot;                 /* MODEL_NONE, or where the machine is */
    int64_t seen;                  /* to be seen */
    bool back;                     /* puts a control back */
    const struct hand_expected *expected; /* per actuator */
    const uint32_t *reached; uint32_t n_reached; /* obligations that no
                                                    earlier step reached */
};

enum hand_round {
    ROUND_STANDING, /* movement made impossible */
    ROUND_MOVING
};

/* Begins with every control at rest for HAND_REST_S, whatever went before,
 * and ends there. */
struct hand_sequence {
    enum hand_round round;
    uint32_t slot; int64_t at; /* where the machine stands when it begins, and
                                  STANDING all the time; slot MODEL_NONE:
                                  wherever it does */
    const struct hand_step *steps;
    uint32_t n_steps;
    bool quiet; /* at the end every actuator is off for sure */
};

struct byhand {
    enum explore_end end;  /* COMPLETE: the following was found; else which
                              limit ended it */
    const struct hand_sequence *sequences;
    uint32_t n_sequences;
    uint32_t tried;        /* steps looked at */
    bool gave_up;          /* more could have been tried */
    const bool *left_out;  /* per control: it has too many positions to be
                              tried by hand, and stays at rest */
};

struct byhand_setting {
    uint32_t most_tried;  /* steps per round */
    uint32_t for_effects; /* where only effects are still looked for */
    struct explore_setting explore;
};

/* Finds the sequences, and marks in `obligations` what they reach.  Lies in
 * the study's arena. */
const struct byhand *byhand_find(struct study *study,
                                 const struct handlogic *logic,
                                 const struct obligations *obligations,
                                 const struct byhand_setting *setting);

#endif
