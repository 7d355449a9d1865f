/* answer.h - what the engines found.
 *
 * Requirements with the same situations are asked in one run, and what was
 * found is kept, so that nothing is run again.
 */
#ifndef KEEPCLEAR_STUDY_ANSWER_H
#define KEEPCLEAR_STUDY_ANSWER_H

#include "engine/sequence.h"
#include "study/question.h"

/* Builds the slice and asks an engine. */
void answer_find(struct study *study, const struct question *question,
                 struct answer *answer);

/* The same for an answer that answer_slice has made of this question. */
void answer_ask(struct study *study, const struct question *question,
                struct answer *answer);

/* Makes the exploration, whose situations and ways can be walked, where it
 * is not there yet.  It takes more than an engine that counts: where a signal
 * or a limit ends it, the answer is from then on what it found, and no longer
 * complete. */
void answer_walk(struct answer *answer);

/* The canonical sequence to a goal that was seen; lies in the answer's
 * arena.  NULL when it was not seen, or a signal or a limit came before it
 * was found.  Where both engines are to agree, an internal error when they do
 * not. */
const struct sequence *answer_sequence(struct study *study,
                                       struct answer *answer,
                                       enum sequence_goal goal,
                                       uint32_t index);

/* The first level at which it was seen, 0: never. */
uint32_t answer_level(const struct answer *answer, uint32_t watch);

/* Was every reachable situation looked at? */
bool answer_complete(const struct answer *answer);

/* Do the assumptions leave no way to go on somewhere? */
bool answer_dead_end(const struct answer *answer);

#endif
