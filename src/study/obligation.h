/* obligation.h - what a test of the real machine has to bring about once.
 *
 * Every part of a requirement's trigger, every branch of the control text,
 * and every unique-cause pair of each decision on which a movement depends
 * (check/decision.h): both its vectors.  Besides, as far as steps are found
 * for it: that one control turns something that moves on or off, that two
 * buttons together, neither of them alone, turn it on, and that it goes off
 * where the machine arrives.
 */
#ifndef KEEPCLEAR_STUDY_OBLIGATION_H
#define KEEPCLEAR_STUDY_OBLIGATION_H

#include <stdint.h>

#include "check/decision.h"
#include "study/study.h"

enum obligation_kind {
    OBLIGATION_TRIGGER,
    OBLIGATION_BRANCH,
    OBLIGATION_VECTOR, /* a decision has one of its vectors: half a pair */
    OBLIGATION_EFFECT /* no duty: most of them do not exist */
};

/* Whether somebody can bring it about by hand, and if not, why. */
enum obligation_state {
    OBLIGATION_OPEN,      /* not asked yet */
    OBLIGATION_BY_HAND,
    OBLIGATION_TIMING,    /* operators can, in steps closer together than a
                             hand keeps, or with luck */
    OBLIGATION_ELSEWHERE, /* it occurs with every control at rest, and hands
                             do not bring it about for sure */
    OBLIGATION_POWER,     /* power must go */
    OBLIGATION_FAULT,     /* something must break */
    OBLIGATION_NEVER,     /* no reachable situation has it */
    OBLIGATION_NOT_KNOWN, /* a limit was met */
    OBLIGATION_STATES
};

struct obligation {
    enum obligation_kind kind;
    uint32_t index, part; /* requirement and its trigger; branch site;
                             decision and row of its vectors;
                             effect: actuator, and 1: on, 0: off */
    uint32_t watch;       /* number in the flat logic; effect: FLAT_NONE */
    uint32_t control, other; /* effect: what is moved; other: MODEL_NONE, or
                                a second button; control: MODEL_NONE where
                                it is the machine that */
    uint32_t movement;       /* has come, by this movement of it or another of
                                the same variable, */
    int64_t at;              /* to this place */
    enum obligation_state state;
    uint32_t scans;       /* TIMING, ELSEWHERE, POWER, FAULT: of the shortest
                             way to it; else 0 */
    const uint32_t *hint; /* scan by scan, one way on which operators bring it
                             about, as rows of choices; NULL: none */
    uint32_t n_hint;      /* scans of it */
};

struct obligations {
    struct obligation *at;
    uint32_t n_watched; /* triggers, branches, vectors: they come first */
    uint32_t first_vector;
    uint32_t n;
};

/* All of a model, in declared order: triggers, which a POSSIBLE does not
 * have, branches, vectors, effects.  Lies in the study's arena. */
struct obligations obligations_of(struct study *study);

/* Finds the reason for those that nobody can bring about without a fault and
 * with power on; the others stay open, and get a hint. */
void obligations_exclude(struct study *study,
                         const struct obligations *obligations);

/* Finds the reason for those that are still open. */
void obligations_explain(struct study *study,
                         const struct obligations *obligations);

/* What keeps hands from a pair of a decision, or BY_HAND. */
enum obligation_state obligations_pair(const struct obligations *obligations,
                                       const struct decision *decision,
                                       const struct decision_pair *pair);

#endif
