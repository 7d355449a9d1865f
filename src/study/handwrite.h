/* handwrite.h - sequences while they are written, step by step. */
#ifndef KEEPCLEAR_STUDY_HANDWRITE_H
#define KEEPCLEAR_STUDY_HANDWRITE_H

#include "study/handsearch.h"
#include "study/study.h"

/* How a sequence came about. */
struct hand_written {
    struct hand_stand begin;
    const bool *happened; /* n_obligations of each step */
    const uint32_t *places; /* after each step */
};

struct finder {
    struct study *study;
    const struct handlogic *logic;
    const struct obligations *obligations;
    struct handsearch search;
    bool *reached;     /* per obligation, by a sequence */
    uint32_t n_pairs;  /* cases in which one control, or where the machine
                          stands, keeps an effect from happening */
    bool *keeps;       /* per control: away from rest it keeps something from
                          being turned on, as pairs show */
    VEC(struct hand_sequence) sequences;
    VEC(struct hand_written) written; /* of each sequence */
};

struct handwrite {
    VEC(struct hand_step) steps;
    VEC(bool) happened; /* n_obligations of each step */
    VEC(uint32_t) places; /* after each step */
    struct hand_stand stand;
    const struct hand_expected *expected; /* there */
    struct hand_stand begin;
};

/* Begins it where a sequence can begin. */
void handwrite_begin(struct finder *finder, struct handwrite *writing,
                     struct hand_stand begin);

/* Begins it with the way to a node. */
void handwrite_way(struct finder *finder, struct handwrite *writing,
                   uint32_t node);

/* Adds a step; false: its hands are not where it begins, or it is not
 * allowed. */
bool handwrite_try(struct finder *finder, struct handwrite *writing,
                   const struct hand_act *act);

/* Do two steps move the same controls to the same positions? */
bool handwrite_same(const struct hand_change *a, uint32_t n_a,
                    const struct hand_change *b, uint32_t n_b);

/* The act that undoes another one. */
struct hand_act handwrite_reverse(const struct hand_act *act);

/* Do the actuators stand as they did at a node, and the hands too? */
bool handwrite_is_as(const struct finder *finder,
                     const struct handwrite *writing, uint32_t node);

/* Did the last step that is written bring an obligation about?  Any step? */
bool handwrite_happened(const struct finder *finder,
                        const struct handwrite *writing, uint32_t obligation);
bool handwrite_ever(const struct finder *finder,
                    const struct handwrite *writing, uint32_t obligation);

/* What is written so far, and back to that. */
struct handwrite_mark {
    size_t steps;
    struct hand_stand stand;
    const struct hand_expected *expected;
};

struct handwrite_mark handwrite_mark(const struct handwrite *writing);
void handwrite_take_back(const struct finder *finder,
                         struct handwrite *writing,
                         const struct handwrite_mark *mark);

/* Puts everything back, with a stop pressed and let go where something still
 * runs; false: the assumptions leave no way. */
bool handwrite_put_back(struct finder *finder, struct handwrite *writing);

/* Puts everything back; the sequence counts if that is possible, and the
 * obligations that it reaches are marked.  What was written is given back. */
void handwrite_finish(struct finder *finder, struct handwrite *writing);
void handwrite_drop(struct handwrite *writing);

#endif
