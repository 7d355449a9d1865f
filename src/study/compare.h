/* compare.h - two versions of a control text, by what they do.
 *
 * First both are run with all that they read free: what is the same then is
 * the same under any machine.  Else they are run side by side with the machine
 * of the review (pair.h), without faults and then with as many as any
 * requirement names, at least one.
 */
#ifndef KEEPCLEAR_STUDY_COMPARE_H
#define KEEPCLEAR_STUDY_COMPARE_H

#include "reference/replay.h"
#include "study/findings.h"
#include "study/twins.h"

/* How far both do the same, the strongest that was shown. */
enum sameness {
    SAME_NOT_KNOWN, /* a limit came first */
    SAME_DIFFERENT, /* a difference was found that is not intended */
    SAME_UNBROKEN,  /* as long as nothing breaks */
    SAME_REVIEW,    /* under this review, with its faults */
    SAME_READ       /* for everything that can be read */
};

/* One output, one direction. */
struct difference {
    uint32_t output;      /* of the comparison */
    uint32_t intended;    /* it is this intended one, or MODEL_NONE */
    bool new_ahead;       /* the new one moves, or is higher, where the old one
                             does not; else the reverse */
    uint32_t faults;      /* so many at most may appear where it was found */
    uint32_t level;       /* scans of its sequence */
    uint32_t like;        /* the first difference with the same sequence, or
                             its own number */
    bool leans;           /* its sequence reads what is not followed */
    const struct replay *was, *is; /* the same choices played on either; NULL:
                                      a limit came before they were found */
};

/* A difference that there is if the machine goes on as the old one has it:
 * whether it is there before an output that drives the machine has differed
 * was too much to find out. */
struct perhaps {
    uint32_t level;  /* not in an earlier scan; 0: there is no such thing */
    uint32_t faults; /* as of a difference */
};

/* What was asked with a number of faults. */
struct compared {
    bool asked;
    enum stop_reason stop;   /* STOP_NONE: all was looked at */
    struct coverage coverage;
};

struct comparison {
    struct version was, is;  /* with rows of the same values */
    const struct machine *old_machine, *new_machine;
    const uint32_t *slots;   /* per slot of the new one: partner.h */
    const struct twins_output *outputs;
    uint32_t n_outputs;
    enum sameness sameness;
    const enum sameness *output; /* per output; SAME_UNBROKEN and SAME_REVIEW
                                    of one of several that differ: up to the
                                    first difference */
    const struct difference *differences;
    uint32_t n_differences;
    const struct all_became *became; /* where they differ; NULL: not asked */
    const struct perhaps *perhaps; /* two per output: the new one ahead, the
                                      reverse; then per intended difference */
    uint32_t faults;         /* at most so many were put in */
    struct compared unbroken, review;
    uint32_t n_alone;        /* outputs of the texts that only one of both
                                has: of them nothing is said */
    uint32_t n_intended;     /* differences that were intended and occur */
    bool up_to_error;        /* a run-time error can be reached: all counts up
                                to there only */
    const char *refused;     /* they cannot be put side by side: a sentence */
    const char *internal_error; /* or NULL */
};

/* NULL when one of them is beyond this version (diags says why).  What it
 * gives lies in the arena. */
const struct comparison *compare_versions(struct arena *arena,
                                          const struct twins_asked *asked,
                                          struct diags *diags);

/* The value of an output at a scan of a replay of the old or the new one. */
int64_t compare_value(const struct comparison *comparison,
                      const struct difference *difference, bool of_new,
                      uint32_t output, uint32_t scan);

/* 0 the same for what can be read or under the review, or different only as
 * intended; 1 different, an output that only one of both has, or something
 * intended that does not occur; 3 not
 * known, or leaning on what is not followed; 4 internal error. */
int compare_exit_code(const struct comparison *comparison);

#endif
