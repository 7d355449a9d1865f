/* why.h - the chain of causes behind a breach, or behind a value.
 *
 * Numbered steps, from the breach back to the operator's action or the fault
 * that began it: each cause stands behind what it led to.  Of all that took
 * part the steps nearest to the breach and newest are chosen, as many as a
 * person reads.
 */
#ifndef KEEPCLEAR_STUDY_WHY_H
#define KEEPCLEAR_STUDY_WHY_H

#include <stdbool.h>
#include <stdint.h>

#include "study/cause.h"

struct arena;
struct model;
struct replay;

enum { WHY_MOST = 14 };

struct why_step {
    struct fact fact;       /* thing THING_NONE: the requirement's breach */
    struct account account;
    uint32_t number[CAUSES_MOST]; /* per cause: its step from 1, or 0 */
    uint32_t scan;          /* when it happened; 0: it was always so */
};

struct why {
    const struct trace *trace;
    const struct why_step *steps; /* number 1 first */
    uint32_t n_steps;
    bool more;              /* causes were left out */
};

/* The chain behind the breach of a requirement, whose sequence was accepted
 * by replay_run.  Lies in the arena. */
const struct why *why_broken(struct arena *arena, const struct model *model,
                             uint32_t requirement,
                             const struct replay *replay);

/* The chain behind the value that a slot or a hand has at the judging of a
 * scan (from 1) of that sequence. */
const struct why *why_value(struct arena *arena, const struct trace *trace,
                            enum trace_thing thing, uint32_t index,
                            uint32_t scan);

/* The record on which chains of that sequence are built. */
const struct trace *why_trace(struct arena *arena, const struct model *model,
                              uint32_t requirement,
                              const struct replay *replay);

#endif
