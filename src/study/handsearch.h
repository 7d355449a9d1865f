/* handsearch.h - where hands can lead the machine, step by step.
 *
 * Nodes are reached by a step each.  Those to which a step has led that
 * brought something new are looked at first, and of the others the cheapest,
 * so that what is found is short and natural.
 */
#ifndef KEEPCLEAR_STUDY_HANDSEARCH_H
#define KEEPCLEAR_STUDY_HANDSEARCH_H

#include "base/vec.h"
#include "engine/concrete/steer.h"
#include "study/handlogic.h"
#include "study/handstep.h"

/* What a step does. */
struct hand_act {
    struct hand_change changes[2];
    uint32_t n_changes;
    bool power;       /* they are made, at least one, while the supply is
                         off, as handstep.h */
    uint32_t seconds; /* 0: until seen */
    uint32_t machine; /* variable of the logic, if until seen; else NONE */
    int64_t seen;
};

/* Where variables of the logic are. */
struct hand_where {
    uint32_t n_given;
    const bool *given;  /* per variable; others are wherever they are */
    const int64_t *at;
};

/* Where a sequence stands. */
struct hand_stand {
    uint32_t place;
    const uint32_t *position; /* per control: value index */
    const struct hand_where *where; /* when it began */
    bool kept;                /* and it stays there */
};

/* A node without a parent, and what it has led to so far. */
struct hand_begin {
    const struct hand_expected *expected; /* per actuator */
    bool *known; /* per value of each cell of the logic: it was so for sure */
};

struct hand_node {
    struct hand_stand stand;
    uint32_t parent; /* MODEL_NONE: a beginning */
    struct hand_begin *begin;
    uint32_t cost;   /* how long and how awkward the way here is */
    uint32_t rank;   /* when its steps are looked at: the lower, the sooner */
    bool done;       /* all its steps were looked at */
    struct hand_act act;     /* that led here */
    const struct hand_expected *expected; /* per actuator */
};

struct handsearch {
    struct arena *arena;
    const struct handlogic *logic;
    struct steer *steer;
    const bool *left_out;
    bool moving;             /* steps may wait for the machine */
    VEC(struct hand_node) nodes;
    uint32_t *first;         /* per obligation: node, or MODEL_NONE */
    bool *pending;           /* per obligation: it is still looked for */
    bool *happened;          /* in the step that is looked at */
    bool *inert;             /* per control: moving it changes nothing but
                                what is held, from the node looked at */
    const struct obligations *obligations;
    uint32_t tried, most_tried;
    uint32_t for_effects;    /* of them as long as only effects and vectors
                                are pending */
    bool gave_up;
    uint32_t origin;         /* place before everything is at rest */
    bool from_power_up;      /* that is where power returns, and not every
                                reachable situation */
    uint32_t *fixed;         /* choice rows while a step is looked at */
};

/* The search, with nothing to look for yet; the limits are the caller's to
 * set.  False: it cannot be said where sequences begin. */
bool handsearch_open(struct handsearch *search,
                     const struct explore_setting *setting);

/* What a step leads to: a place that may be empty (it is not allowed), and
 * what happened in it; happened: n_obligations, or NULL. */
struct hand_stand handsearch_step(struct handsearch *search,
                                  const struct hand_stand *from,
                                  const struct hand_act *act,
                                  bool *happened);

/* Every control at rest, power on, for HAND_REST_S; the machine is then where
 * it is said to be, and where movement is impossible it stays there. */
struct hand_stand handsearch_rest(struct handsearch *search,
                                  const struct hand_where *where);

/* What the actuators do there for sure; lies in the arena. */
const struct hand_expected *handsearch_expect(struct handsearch *search,
                                              uint32_t place);

/* A step with what the actuators did before and after it. */
struct hand_shown {
    const struct hand_stand *from;
    const struct hand_act *act;
    const struct hand_expected *before, *after;
};

/* Marks the effects that a step has. */
void handsearch_effects(struct handsearch *search,
                        const struct hand_shown *shown, bool *happened);

/* Adds a beginning, if there is no such yet and it can be; its node, or
 * MODEL_NONE. */
uint32_t handsearch_begin(struct handsearch *search, struct hand_stand stand);

/* Looks at one step from a node: the node it leads to, or MODEL_NONE. */
uint32_t handsearch_follow(struct handsearch *search, uint32_t from,
                           const struct hand_act *act);

/* Looks on until nothing is pending, or a limit is reached. */
void handsearch_go(struct handsearch *search);

#endif
