/* became.h - what a change made possible or impossible, behind the first
 * difference too.
 *
 * Each version is run by itself, with a machine of its own.  Asked is of
 * every output that differs whether it can be on, and on with each value of
 * the machine's variables that it reads or moves; and of each such variable
 * from which value to which it can go.
 */
#ifndef KEEPCLEAR_STUDY_BECAME_H
#define KEEPCLEAR_STUDY_BECAME_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct model;
struct study_setting;
struct twins_output;

enum came { CAME_SAME, CAME_NEW, CAME_GONE, CAME_NOT_KNOWN };

/* One thing that can be so. */
struct became {
    enum came came;
    uint32_t actuator; /* it is on; MODEL_NONE: the variable goes from a value
                          to another */
    uint32_t slot;     /* of the machine, in the old model; MODEL_NONE:
                          whatever it stands at */
    int64_t from, value;
};

struct all_became {
    const struct became *at; /* all that was asked */
    uint32_t n;
    uint32_t faults;         /* at most so many appeared */
};

/* Two versions that differ. */
struct became_asked {
    const struct model *was, *is;
    const uint32_t *slots;       /* per slot of the new one: its partner */
    const struct twins_output *outputs;
    const bool *differs;         /* per output */
    uint32_t n_outputs;
    uint32_t faults;             /* at most so many appear */
    const struct study_setting *setting;
};

/* NULL where one of them cannot be run.  Lies in the arena. */
const struct all_became *became_find(struct arena *arena,
                                     const struct became_asked *asked);

#endif
