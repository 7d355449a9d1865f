/* unguarded.h - how well do the requirements protect the logic?
 *
 * Each small change of the control text (changes.h) is judged: is the changed
 * text the same under this review, does a requirement notice it, or does it
 * behave otherwise and no requirement notices?
 */
#ifndef KEEPCLEAR_STUDY_UNGUARDED_H
#define KEEPCLEAR_STUDY_UNGUARDED_H

#include "study/changefinding.h"
#include "study/findings.h"
#include "study/load.h"
#include "study/study.h"

/* A line of ACCEPTED for a change that is none, or not unguarded any more. */
struct idle_harmless {
    const struct harmless *line;
    const struct change_finding *finding; /* NULL: there is no such change, or
                                             an earlier line accepts it */
};

struct unguarded_findings {
    const struct model *model;
    const struct change_finding *changes;
    uint32_t n;
    uint32_t n_all;              /* changes there are; only every so many-th is
                                    looked at where these are more */
    const struct idle_harmless *idle;
    uint32_t n_idle;
    const bool *guards;          /* per requirement: it is kept and put to
                                    the test, so that it can notice */
    uint32_t count[CHANGE_STATES];
    bool every;                  /* each requirement was asked, not only up to
                                    the first that notices */
    uint32_t n_asked;            /* changes looked at: fewer than n, and not
                                    the first ones, after a signal */
    const char *internal_error;
};

/* Where study.threads is 2 or more, so many changes are looked at in parallel,
 * each by a process of its own; a limit of memory counts for each of them. */
struct unguarded_setting {
    struct study_setting study;
    bool every; /* as above */
    uint32_t one_in; /* every so many-th change only; 0: all */
    void (*progress)(void *context, uint32_t done, uint32_t all);
    void *progress_context;
};

/* NULL when the model is beyond this version (diags says why).  request: how
 * the run was loaded.  Lies in the arena of the run. */
const struct unguarded_findings *unguarded_study(
    struct loaded *loaded, const struct load_request *request,
    const struct unguarded_setting *setting);

/* The run with the text as a change leaves it; its model is NULL where that
 * is none that could run.  To be freed. */
struct loaded *unguarded_load(struct loaded *loaded,
                              const struct load_request *request,
                              const struct change *change);

/* 0 nothing is unguarded; 1 something is; 3 of something it is not known;
 * 4 internal error. */
int unguarded_exit_code(const struct unguarded_findings *found);

#endif
