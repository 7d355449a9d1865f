/* lean.h - findings that lean on an open place.
 *
 * What is found may need that a comparison whose values are not followed
 * comes out in one way, which the controller perhaps never does.  Then it is
 * not decided, unless another way to it is found that leans on none
 * (logic/known.h).
 */
#ifndef KEEPCLEAR_STUDY_LEAN_H
#define KEEPCLEAR_STUDY_LEAN_H

#include "reference/replay.h"
#include "study/answer.h"
#include "study/findings.h"

/* What a sequence must show when it is replayed. */
struct lean_claim {
    enum replay_claim claim;
    uint32_t index;
};

/* A sequence to watch number `watch` of the answer's slice that leans on no
 * open place, the canonical one of these, completed and replayed; NULL where
 * the slice has none, or a limit came first. */
const struct replay *lean_sure(struct study *study, struct answer *answer,
                               uint32_t watch, struct lean_claim claim);

/* The open places on which a replayed sequence leans: those without which it
 * shows nothing, each changed alone; where none does alone, all that it
 * reads. */
void lean_places(struct study *study, const struct answer *answer,
                 const struct replay *sequence, struct lean_claim claim,
                 struct leaning *leaning);

/* All open places that the answer's slice reads, per place of the model. */
const bool *lean_read(const struct study *study, const struct answer *answer);

/* All of them, as what it leans on. */
void lean_all(const struct study *study, const struct answer *answer,
              struct leaning *leaning);

/* The answer's slice with open places on our side; NULL where somebody else
 * chooses against us, too, so that nothing would follow from it. */
const struct slice *lean_ours(const struct answer *answer);

/* What run-time errors mean for all else: STOP_ERROR, STOP_ERROR_LEANS,
 * STOP_ERROR_OPEN or STOP_NONE. */
enum stop_reason lean_errors(const struct study *study);

/* "not decided" for what leans, "not finished" for all other reasons. */
enum verdict lean_verdict(enum stop_reason stop);

#endif
