/* targets.h - what a statement could give a value to, taken or not.
 *
 * Read from the checked text once.  A branch that is not taken leaves its
 * variables alone, and so its condition has a part in their values too.
 */
#ifndef KEEPCLEAR_REFERENCE_TARGETS_H
#define KEEPCLEAR_REFERENCE_TARGETS_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"

struct arena;

/* The targets of every IF, CASE, MAY and loop, in every frame in which it
 * runs. */
struct targets;

/* Of one of them, its conditions, all its branches and what they call; where
 * it can lead away, all that is left by it. */
struct target_list {
    const uint32_t *slots; /* each once, ascending */
    uint32_t n;
    bool fails; /* a run-time error can happen in it */
};

/* Everything lies in the arena.  NULL: calls within calls are too many to be
 * followed one by one, or an index decides what is read or written. */
const struct targets *targets_new(struct arena *arena,
                                  const struct model *model);

/* Of a statement of the model that branches, run in the frame that begins at
 * slot `base`; always there. */
const struct target_list *targets_of(const struct targets *targets,
                                     const struct code_stmt *stmt,
                                     uint32_t base);

/* Can evaluating the expression itself, not what it calls, fail? */
bool targets_fails(const struct code_expr *expr);

#endif
