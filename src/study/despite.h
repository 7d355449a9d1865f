/* despite.h - which faults may appear in a question about a requirement. */
#ifndef KEEPCLEAR_STUDY_DESPITE_H
#define KEEPCLEAR_STUDY_DESPITE_H

#include "base/cause_set.h"
#include "study/study.h"

struct despite {
    uint32_t faults;      /* n: at most so many causes */
    const bool *allowed;  /* per cause; NULL: all */
    const struct cause_set *forbidden; /* never together */
    uint32_t n_forbidden;
};

struct question;

/* What the requirement says, or what the study asks instead. */
struct despite despite_of(const struct study *study, uint32_t requirement);

/* Puts it into a question. */
void despite_ask(const struct study *study, uint32_t requirement,
                 struct question *question);

#endif
