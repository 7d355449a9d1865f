/* handstep.h - steps that somebody does by hand, and what must then be
 * seen. */
#ifndef KEEPCLEAR_STUDY_HANDSTEP_H
#define KEEPCLEAR_STUDY_HANDSTEP_H

#include <stdbool.h>
#include <stdint.h>

/* What a hand and a wrist watch can keep; common practice, no source. */
enum {
    HAND_EARLY_MS = 1000,   /* a wait may end so much too early, and
                               as late as it likes */
    HAND_APART_MS = 200,    /* two hands together differ by less */
    HAND_REACTION_MS = 1500,/* from what is seen to the next step, at most */
    HAND_USUAL_S = 2,       /* wait of a step */
    HAND_REST_S = 5,        /* with everything at rest, before a sequence */
    HAND_DARK_S = 5,        /* the supply of the controller is off, */
    HAND_DARK_MS = 1000     /* and the controller without it, at least */
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
    bool power;                    /* the supply goes, then they are made, and
                                      HAND_DARK_S later it returns */
    uint32_t seconds;              /* at least, by the watch; 0: until seen */
    uint32_t movement;             /* MODEL_NONE, or one of the variable */
    int64_t seen;                  /* that is to be seen at this value */
    bool back;                     /* puts a control back */
    const struct hand_expected *expected; /* per actuator */
    const uint32_t *reached; uint32_t n_reached; /* obligations that no
                                                    earlier step reached */
};

enum hand_round {
    ROUND_STANDING, /* movement made impossible */
    ROUND_MOVING
};

/* Where a variable of the machine is, named by one of its movements. */
struct hand_place {
    uint32_t movement;
    int64_t at;
};

/* Begins with every control at rest for HAND_REST_S, whatever went before,
 * and ends there. */
struct hand_sequence {
    enum hand_round round;
    const struct hand_place *places; /* so it stands when it begins, and
                                        STANDING all the time; other variables
                                        are wherever they are */
    uint32_t n_places;
    const struct hand_step *steps;
    uint32_t n_steps;
    bool quiet; /* at the end every actuator is off for sure */
};

#endif
