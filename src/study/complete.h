/* complete.h - from a sequence found in a slice to one of the whole model,
 * replayed by the reference interpreter. */
#ifndef KEEPCLEAR_STUDY_COMPLETE_H
#define KEEPCLEAR_STUDY_COMPLETE_H

#include "reference/replay.h"
#include "study/answer.h"

struct sequence;

/* Choices outside the slice are completed by the canonical rule in the
 * slices of the assumptions left out; then the whole is replayed.  NULL when
 * these assumptions leave no sequence of that length (a dead end of theirs)
 * or a limit was met.  A sequence that the reference interpreter does not
 * accept is recorded as an internal error of the study, and NULL. */
const struct replay *complete_sequence(struct study *study,
                                       const struct answer *answer,
                                       const struct sequence *sequence,
                                       enum replay_claim claim,
                                       uint32_t index);

/* The completed choices alone, a row of value indices per scan: NULL where
 * complete_sequence would find none. */
const uint32_t *complete_rows(struct study *study,
                              const struct answer *answer,
                              const struct sequence *sequence);

/* What complete_sequence does with them. */
const struct replay *complete_play(struct study *study,
                                   const struct answer *answer,
                                   const struct replay_asked *asked);

/* How the reference interpreter is to step for an answer. */
struct step_setting complete_setting(const struct study *study,
                                     const struct answer *answer);

#endif
