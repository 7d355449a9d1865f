/* pair.h - two versions of one control text under the same review, held
 * against each other in one builder.
 *
 * Hands, faults, power, machine and wiring are there once: they follow the
 * first version.  Up to the first scan in which an output differs both
 * versions have the same ones, for nothing but outputs leads from the programs
 * to them.
 */
#ifndef KEEPCLEAR_STUDY_PAIR_H
#define KEEPCLEAR_STUDY_PAIR_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/flat.h"

struct answer;
struct arena;
struct pair;
struct model;
struct study;

/* What a program gives to the outside. */
struct pair_output {
    uint32_t actuator; /* MODEL_NONE: a slot that drives none */
    uint32_t slot;     /* MODEL_NONE: an actuator that nothing commands */
};

/* The outputs of a model: its actuators, then the slots named. */
struct pair_outputs {
    const struct pair_output *at;
    uint32_t n;
};

/* Lies in the arena.  NULL where the versions cannot be held against each
 * other number by number: *reason then says why. */
struct pair *pair_new(struct arena *arena, struct study *before,
                      struct study *after, struct pair_outputs outputs,
                      const char **reason);
void pair_free(struct pair *pair);

/* Is everything that a slice of the second version takes in the same in the
 * first? */
bool pair_same_slice(const struct pair *pair, const struct answer *answer);

/* Are all outputs the same function of what was before? */
bool pair_same_outputs(const struct pair *pair);

enum pair_state { PAIR_SAME, PAIR_DIFFERS, PAIR_NOT_KNOWN };

struct pair_found {
    enum pair_state state;
    const char *reason;  /* not known: why */
    uint32_t output;     /* differs: the first output, in their order */
    bool more;           /* it is BOOL: on in the second where it is off in
                            the first; else the reverse, or no BOOL */
    uint32_t level;      /* judgings up to there */
};

/* Is that output, by its number, a BOOL? */
bool pair_boolean(const struct model *model, const struct pair_output *output);

/* Can an output ever differ, whatever faults, at most so many, appear? */
struct pair_found pair_ask(struct pair *pair, struct study *before,
                           uint32_t faults);

#endif
