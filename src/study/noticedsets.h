/* noticedsets.h - are sets of causes noticed: each set is asked about once.
 */
#ifndef KEEPCLEAR_STUDY_NOTICEDSETS_H
#define KEEPCLEAR_STUDY_NOTICEDSETS_H

#include "base/vec.h"
#include "study/noticed.h"

struct noticed_set {
    const uint32_t *causes;
    uint32_t n;
    const struct noticed_finding *found;
};

struct noticed_sets {
    struct study *study;
    struct dead_ends *ends;
    VEC(struct noticed_set) asked;
};

/* What is found of a set, in the arena of the study; NULL: the model has no
 * NOTICING.  The numbers are borrowed as long as the sets are. */
const struct noticed_finding *noticed_sets_ask(struct noticed_sets *sets,
                                               const uint32_t *causes,
                                               uint32_t n);

void noticed_sets_release(struct noticed_sets *sets);

#endif
