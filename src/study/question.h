/* question.h - one question to the engines, laid out. */
#ifndef KEEPCLEAR_STUDY_QUESTION_H
#define KEEPCLEAR_STUDY_QUESTION_H

#include "engine/reach.h"
#include "study/study.h"

struct question {
    const uint32_t *watches; /* numbers in the flat logic */
    uint32_t n_watches;
    const uint32_t *with_assumptions;
    uint32_t n_with_assumptions;
    const flat_expr *values;
    uint32_t n_values;
    uint32_t faults;         /* as request.h */
    const bool *allowed;
    const uint32_t *studied;
    uint32_t n_studied;
    const struct cause_set *forbidden;
    uint32_t n_forbidden;
    bool free_times;
    const bool *until;       /* per watch of the question, or NULL */
    const uint32_t *fixed_first, *fixed_next; /* as explore.h, or NULL */
    uint64_t most_situations; /* 0: as the study's setting */
    uint64_t most_effort;    /* as explore.h */
    bool apart;              /* shared with nobody */
    bool walk;               /* its ways will be walked */
    bool sliced;             /* no more than is read, whatever the study's
                                setting */
};

struct answer {
    struct arena *arena;
    struct slice_request request;
    const struct slice *slice;
    const struct reach *reach;       /* NULL after answer_slice */
    struct exploration *exploration; /* NULL until answer_walk */
    struct explore_setting setting;
    bool spent; /* it needed more than the effort of the study */
};

/* Builds the slice and the setting for an engine; to be released. */
void answer_slice(struct study *study, const struct question *question,
                  struct answer *answer);

/* Do movement times count in it, whether the question leaves them away or
 * not?  Of a slice without them slice->has_times does not tell. */
bool question_has_times(struct study *study, const struct question *question);

/* Number of a watch within the slice. */
uint32_t answer_watch(const struct answer *answer, uint32_t watch);

/* Frees all of an answer. */
void answer_release(struct answer *answer);

#endif
