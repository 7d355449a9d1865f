/* faults.h - what if something breaks: for each requirement the smallest
 * sets of faults that together break it.
 *
 * In the study of a set each fault of it may appear, at whatever moment, and
 * no other.  A requirement is broken by every set that holds a breaking one,
 * since what may happen with fewer faults may happen with more; so only
 * minimal sets are looked for, and they say all.
 */
#ifndef KEEPCLEAR_STUDY_FAULTS_H
#define KEEPCLEAR_STUDY_FAULTS_H

#include "study/findings.h"
#include "study/study.h"

struct noticed_finding;

/* A larger number of faults at once is refused. */
enum { FAULTS_MOST = 3 };

/* A set of faults that breaks a requirement while no part of it does; or
 * that may break it, as what is not followed comes out. */
struct fault_set {
    const uint32_t *causes; /* in declared order */
    uint32_t n;
    struct requirement_finding found; /* broken or not decided, with its
                                         sequence */
    const struct noticed_finding *noticed; /* NULL: there is no NOTICING */
};

/* Sets of one size: each was found, or why that is not sure. */
struct fault_size {
    enum verdict verdict; /* of all sets that hold none of those found:
                             kept, not put to the test, not finished */
    enum stop_reason stop;
};

struct requirement_faults {
    uint32_t requirement;
    struct requirement_finding sound; /* without any fault */
    const struct fault_set *sets;     /* smallest first */
    uint32_t n_sets;
    const struct fault_size *sizes;   /* per size from 1; none when it is not
                                         kept without faults */
    uint32_t n_sizes;
};

struct fault_findings {
    const struct findings *findings; /* model, machine, run-time errors, dead
                                        ends; no requirements */
    uint32_t together;               /* up to so many faults at once */
    const bool *of;                  /* per cause: studied */
    /* Per cause that is studied: by when the machine notices it; NULL: there
       is no NOTICING. */
    const struct noticed_finding *const *noticed;
    const struct requirement_faults *requirements;
    uint32_t n_requirements;
};

struct faults_setting {
    struct study_setting study; /* only: the requirements asked for */
    uint32_t together;          /* 1 to FAULTS_MOST */
    const bool *of;             /* per cause: it is studied; NULL: all */
    /* Called after each requirement; NULL: never. */
    void (*judged)(void *context, uint32_t done, uint32_t all);
    void *judged_context;
};

/* Studies.  NULL when the model is beyond this version (diags says why).
 * The findings lie in the arena. */
const struct fault_findings *faults_study(struct arena *arena,
                                          const struct model *model,
                                          const struct faults_setting *setting,
                                          struct diags *diags);

/* 0 everything asked was kept without faults, and every set was looked at,
 * also whether it is noticed; 1
 * something is broken without any fault, or can run into an error; 3 not
 * finished or not decided; 4 internal error.  Sets that break a requirement
 * are what was asked for: they change nothing. */
int faults_exit_code(const struct fault_findings *found);

#endif
