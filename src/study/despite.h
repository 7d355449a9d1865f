/* despite.h - the causes of faults that a requirement is asked to survive. */
#ifndef KEEPCLEAR_STUDY_DESPITE_H
#define KEEPCLEAR_STUDY_DESPITE_H

#include "study/findings.h"
#include "study/study.h"

struct noticed_finding;
struct question;

struct despite {
    uint32_t faults;     /* as request.h */
    const bool *allowed;
    const struct cause_set *forbidden;
    uint32_t n_forbidden;
    uint64_t most_effort; /* as explore.h; not 0: only whether it is kept is
                             asked, and no sequence is looked for */
    bool exactly;         /* POSSIBLE: it is known with fewer causes than all
                             that are allowed, and is asked with all of them;
                             no example is looked for */
    /* AND ANOTHER (another.h); else NULL and none.  Pairs of which it is not
     * known are not forbidden; perhaps: they are. */
    const struct noticed_finding *noticed; /* per cause that is allowed */
    const struct cause_set *perhaps;
    uint32_t n_perhaps;
    enum stop_reason unknown; /* why something is not known; STOP_NONE: all
                                 is */
};

/* Of a requirement, with what the study drops left out; or what the study
 * asks instead.  With AND ANOTHER any two, as long as it was not set. */
const struct despite *despite_of(struct study *study, uint32_t requirement);

/* Puts it into a question. */
void despite_ask(const struct despite *despite, struct question *question);

/* Was it set?  Sets it; borrowed. */
bool despite_is_set(struct study *study, uint32_t requirement);
void despite_set(struct study *study, uint32_t requirement,
                 const struct despite *despite);

/* What is noticed, per cause, with what the study drops left out: kept for
 * another.c, NULL where nothing was asked yet. */
const struct noticed_finding **despite_noticed(struct study *study);

#endif
