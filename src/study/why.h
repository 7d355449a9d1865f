/* why.h - the chain of causes behind a breach, or behind a value.
 *
 * Numbered steps, from the breach back to the operator's action or the fault
 * that began it: each cause stands behind what it led to.  Of all that took
 * part the steps nearest to the breach and newest are told, as many as a
 * person reads; the rest is named.
 */
#ifndef KEEPCLEAR_STUDY_WHY_H
#define KEEPCLEAR_STUDY_WHY_H

#include <stdbool.h>
#include <stdint.h>

#include "study/cause.h"

struct arena;
struct model;
struct replay;

enum { WHY_TOLD = 14, WHY_MOST = 64 };

struct why_step {
    struct fact fact;       /* thing THING_NONE: the requirement's breach, or
                               the run-time error */
    struct account account;
    uint32_t number[CAUSES_MOST]; /* per cause: the number, from 1, of the
                                     step that tells it, or 0 */
    uint32_t scan;          /* when it happened; 0: it was always so */
};

struct why {
    const struct trace *trace;
    const struct why_step *steps; /* number 1 first */
    uint32_t n_steps;
    const struct why_step *rest; /* that took part too, in the same order */
    uint32_t n_rest;
    bool more;              /* there were more than WHY_MOST */
};

/* The chain behind the breach of a requirement, whose sequence was accepted
 * by replay_run.  Lies in the arena. */
const struct why *why_broken(struct arena *arena, const struct model *model,
                             uint32_t requirement,
                             const struct replay *replay);

/* The chain behind a run-time error, whose sequence was accepted by
 * replay_run. */
const struct why *why_error(struct arena *arena, const struct model *model,
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
