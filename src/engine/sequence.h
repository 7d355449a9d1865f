/* sequence.h - the canonical sequence to something that was seen.
 *
 * Order of docs/notes/step.md, section 6: shortest, fewest operator
 * actions, fewest faults, fewest movements, then the smallest choices.  One
 * backward pass over the levels of an exploration.
 */
#ifndef KEEPCLEAR_ENGINE_SEQUENCE_H
#define KEEPCLEAR_ENGINE_SEQUENCE_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct exploration;

enum sequence_goal {
    GOAL_WATCH,    /* watch `index` of the slice holds at the last judging */
    GOAL_END,      /* end `index` */
    GOAL_DEAD_END  /* one more row: the choices after which no input fits */
};

/* length rows of n_choices value indices, rows of choices outside the slice
 * at rest; the last row of a GOAL_DEAD_END is the one after which no input
 * fits, so length is one more than the judgings.  `decided` says which were
 * read. */
struct sequence {
    uint32_t length;
    uint32_t n_choices;
    const uint32_t *choices;
    const bool *decided;
    uint64_t operator_cost, fault_cost, movement_cost;
};

/* NULL when the goal was not seen, or the walk over the exploration had to be
 * left (exploration_listen).  Lies in the arena. */
const struct sequence *sequence_find(struct arena *arena,
                                     struct exploration *exploration,
                                     enum sequence_goal goal,
                                     uint32_t index);

/* The same where it is known that the goal can be reached in exactly `length`
 * scans and in no fewer, each scan but the last leading into a situation of
 * its level. */
const struct sequence *sequence_along(struct arena *arena,
                                      struct exploration *exploration,
                                      enum sequence_goal goal,
                                      uint32_t index, uint32_t length);

/* The canonical one to a judging at which watch number `watch` of the slice
 * holds and which leads into one of the situations marked in `into`, in a
 * complete exploration; length is that of the shortest such sequence.  NULL
 * when the walk had to be left. */
const struct sequence *sequence_into(struct arena *arena,
                                     struct exploration *exploration,
                                     uint32_t watch, const bool *into,
                                     uint32_t length);

/* The canonical one among all sequences of exactly `length` scans of a
 * complete exploration (situations may come again).  fixed: NULL, or length
 * rows of n_choices value indices, FLAT_NONE where free: what another slice
 * has decided already; it counts as decided, and in the costs.  NULL when
 * there is none, or the walk had to be left, also because the limit of bytes
 * does not suffice.  Costs memory for each situation that can be reached after
 * each number of scans under what is fixed. */
const struct sequence *sequence_of_length(struct arena *arena,
                                          struct exploration *exploration,
                                          uint32_t length,
                                          const uint32_t *fixed);

/* The same choices in every scan, and the same ones decided?  b may be
 * NULL. */
bool sequence_same(const struct sequence *a, const struct sequence *b);

#endif
