/* writtenmake.h - expressions over names (written.h), made with what is known
 * beforehand worked out.
 *
 * All lie in the arena.  An expression of more than WRITTEN_MOST parts becomes
 * one of WRITTEN_RECKONED: the names that it reads and no more.
 */
#ifndef KEEPCLEAR_STUDY_WRITTENMAKE_H
#define KEEPCLEAR_STUDY_WRITTENMAKE_H

#include "study/written.h"

/* `type` is BOOL in every model. */
const struct written *written_const(struct arena *arena, int64_t value,
                                    const struct type *type);
const struct written *written_leaf(struct arena *arena, enum written_op op,
                                   uint32_t index, const struct type *type);
const struct written *written_not(struct arena *arena,
                                  const struct written *a);

/* op: WRITTEN_AND to WRITTEN_XOR, WRITTEN_EQ to WRITTEN_MOD; type: of the
 * result. */
const struct written *written_pair(struct arena *arena, enum written_op op,
                                   const struct written *a,
                                   const struct written *b,
                                   const struct type *type);
const struct written *written_if(struct arena *arena,
                                 const struct written *condition,
                                 const struct written *yes,
                                 const struct written *no);

/* Kept as it is given, with its size counted. */
const struct written *written_made(struct arena *arena, struct written made);

/* What is reckoned from these in a way that is not followed; each may be
 * NULL. */
const struct written *written_reckoned(struct arena *arena,
                                       const struct written *a,
                                       const struct written *b,
                                       const struct written *c);

/* What is reckoned from these names and from others. */
const struct written *written_among(struct arena *arena,
                                    const struct written *a);

/* Is it that constant? */
bool written_is(const struct written *expr, int64_t value);

#endif
