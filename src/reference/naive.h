/* naive.h - exploring a small model with every input enumerated.
 *
 * Breadth first over whole states; nothing is reduced.  Meant for models of
 * up to some 10^5 situations, and for tests: the engine must agree with it.
 */
#ifndef KEEPCLEAR_REFERENCE_NAIVE_H
#define KEEPCLEAR_REFERENCE_NAIVE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "reference/machine.h"

struct arena;

/* A place that counts for telling situations apart, with the bound at which
 * the engine lets its age saturate. */
struct naive_place {
    struct place_id id;
    int64_t most;
};

struct naive_setting {
    struct step_setting step;       /* `first` is ignored */
    const struct naive_place *places; /* what makes a situation */
    uint32_t n_places;
    uint32_t requirement; /* whose breach is looked for, or MODEL_NONE */
    uint32_t notice;      /* 0; or 1 + the enum notice_part that is looked
                             for instead */
    uint64_t most_states; /* gives up beyond */
};

/* levels[i]: situations first seen at judging i + 1. */
struct naive_result {
    bool complete;           /* false: gave up */
    uint64_t situations;     /* different ones, by the places */
    const uint64_t *levels;
    uint32_t n_levels;
    uint32_t breach_level;   /* 0: none; the length of the shortest */
    const uint32_t *sequence; /* canonical one: breach_level rows of n_choices
                                 value indices; NULL: none */
    bool dead_end;           /* somewhere no input fits */
    uint32_t dead_end_level; /* judgings before it, 0 at the start */
    uint32_t error_level;    /* 0: none; else scan of the first error */
    uint32_t error_site;     /* one with the smallest level, then number */
    bool notice[NOTICE_PARTS]; /* seen anywhere */
    const bool *trigger;     /* of the requirement: occurred anywhere */
    const bool *branch;      /* per branch site: taken anywhere */
    const bool *stretch;     /* per stretch: run anywhere */
    const bool *vector;      /* per vector of the decisions that the model
                                names: had anywhere */
};

/* Explores; everything in the result lies in the arena.  The whole space is
 * walked even when a breach was found, so that counts are complete; the
 * paths end at run-time errors only. */
const struct naive_result *naive_explore(struct arena *arena,
                                         struct machine *machine,
                                         const struct naive_setting *setting);

#endif
