/* handplay.h - a sequence of steps by hand, played by the reference
 * interpreter: what its own counters say of it.
 *
 * Nothing of the flat logic has a part in it.
 */
#ifndef KEEPCLEAR_STUDY_HANDPLAY_H
#define KEEPCLEAR_STUDY_HANDPLAY_H

#include <stdbool.h>
#include <stdint.h>

#include "study/handstep.h"
#include "study/obligation.h"

struct machine;

/* How the machine answers, and what nobody operates. */
struct handplay_answers {
    /* A number below `count`, which is at least 1.  NULL: the usual answers:
     * nothing moves but what a step waits for, and the rest is at rest. */
    uint32_t (*pick)(void *context, uint32_t count);
    void *context;
    uint32_t prelude; /* scans in which anything happens before, with the
                         hands too; only with pick */
    uint32_t off;     /* scans behind the prelude, if there was one, in which
                         everything is at rest and power is off; 0: it stays
                         on, or cannot go */
    uint32_t start;   /* without pick: START choices have this value index,
                         or their last */
    bool lively;      /* without pick: while something is waited for, all that
                         can move does */
};

/* A variable of the machine changed in a scan of a step. */
struct handplay_move {
    uint32_t scan; /* of the step, from 0 */
    uint32_t slot;
    int64_t to;
};

struct handplay_step {
    uint32_t n_scans;
    uint32_t n_dark;          /* of them, which come first: without power */
    const struct handplay_move *moves; uint32_t n_moves;
    const bool *met;          /* per obligation: counted in it */
    uint32_t wrong;           /* first actuator that was not as expected,
                                 or MODEL_NONE */
};

enum handplay_end {
    HANDPLAY_DONE,
    HANDPLAY_NOT_SEEN,    /* what a step waits for did not come, or the
                             machine did not stand where it was to begin */
    HANDPLAY_NOT_ALLOWED, /* the assumptions do not allow what was picked */
    HANDPLAY_ERROR        /* a run-time error ended it */
};

struct handplay {
    enum handplay_end end;
    uint32_t rest_scans;  /* before step 1 */
    const struct handplay_step *steps; /* as far as played */
    uint32_t n_steps;     /* that were played to their end */
};

/* Plays it from power-up.  The model of the machine may be one of another
 * control text under the same review text; obligations are then those of the
 * first one, and only triggers are counted.  Lies in the arena. */
struct handplay handplay_run(struct arena *arena, struct machine *machine,
                             const struct hand_sequence *sequence,
                             const struct obligations *obligations,
                             const struct handplay_answers *answers);

#endif
