/* findings.h - what a check found, as plain records.
 *
 * Words, pictures and machine-readable files are made from these and from
 * nothing else, so that every view says the same.  All of it lies in one
 * arena.
 */
#ifndef KEEPCLEAR_STUDY_FINDINGS_H
#define KEEPCLEAR_STUDY_FINDINGS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/cause_set.h"

struct machine;
struct model;
struct replay;

enum verdict {
    VERDICT_KEPT,
    VERDICT_BROKEN,
    VERDICT_NOT_TESTED,  /* not put to the test */
    VERDICT_NOT_DECIDED,
    VERDICT_NOT_FINISHED
};

/* Why a verdict is "not finished" or "not decided". */
enum stop_reason {
    STOP_NONE,
    STOP_SITUATIONS, /* limit of situations */
    STOP_MEMORY,     /* limit of bytes */
    STOP_SIGNAL,     /* interrupted */
    STOP_EFFORT,     /* more steps than a control text alone is given */
    STOP_ERROR,      /* a run-time error is reachable: kept up to it */
    STOP_ERROR_OPEN, /* a run-time error could not be excluded */
    STOP_DEAD_END,   /* assumptions leave no way to go on */
    STOP_SHARED,     /* too many values of SHARED variables to resolve */
    STOP_LEANS,      /* every way found leans on an open place */
    STOP_ERROR_LEANS,    /* the same of a run-time error: kept up to it */
    STOP_DEAD_END_LEANS, /* the same of a dead end */
    STOP_PASSES,     /* a loop is followed for a few passes only */
    STOP_SETS,       /* more sets of faults than are listed one by one */
    STOP_AWAY        /* not looked for: it cannot occur before too many
                        scans */
};

/* Has the logic a part in what is kept? */
enum part {
    PART_NOT_ASKED, /* not kept, or a form that is exempt */
    PART_LOGIC,
    PART_WIRING,    /* kept by the wiring alone: COMMANDED may be anything */
    PART_NONE,      /* it stays kept when the actuators are commanded at
                       will: not put to the test */
    PART_NOT_KNOWN, /* a limit, or too many values to try */
    PART_NOT_KNOWN_WIRING /* it was put to the test; whether by the wiring
                             alone is not known */
};

enum need_state {
    NEED_NOT_ASKED, /* not kept, or left out for a quick run */
    NEED_NOT_KNOWN, /* a limit */
    NEED_KNOWN
};

/* An assumption of one requirement that is kept. */
enum need {
    NEED_NO,
    NEED_IN_SET, /* one of a set that is enough */
    NEED_EVERY   /* needed in every such set: dropped alone, it breaks */
};

/* Open places (check/model.h) on which a finding leans. */
struct leaning {
    const uint32_t *places;
    uint32_t n;
};

/* How much was looked at for one question. */
struct coverage {
    uint64_t situations;
    uint32_t levels;      /* complete ones: scans from power-up */
    bool without_times;   /* counted in the run without movement times */
    uint32_t counters_cut; /* variables that stand where nothing looks any
                              further */
    bool complete;
};

struct despite;

struct requirement_finding {
    uint32_t requirement;
    const struct despite *despite; /* what it was asked to survive; NULL:
                                      POSSIBLE */
    enum verdict verdict;
    enum stop_reason stop;
    struct coverage coverage;
    const struct replay *sequence; /* broken: the breach, POSSIBLE AGAIN: the
                                      way into the trap; POSSIBLE kept: the
                                      example; not decided: the same,
                                      leaning on open places; else NULL */
    bool perhaps_shorter; /* AND ANOTHER: a shorter one was found, by faults of
                             which it is not known whether they are noticed */
    const bool *assumption_used;   /* per assumption of the model */
    const bool *cause_used;        /* per cause: has a part in it */
    const bool *open_read;         /* per open place: has a part in it */
    struct leaning leaning;        /* not decided: on what */
    uint64_t away;                 /* STOP_AWAY: it cannot be broken before
                                      so many scans */
    const bool *trigger_seen;      /* per trigger */
    int64_t longest;               /* timed forms that are kept: the longest
                                      time seen running, ms, without movement
                                      times where the coverage is; else -1 */
    enum part part;
    enum need_state need_state;
    const enum need *need;         /* NEED_KNOWN: per assumption */
};

/* A run-time error that can be reached, or could not be excluded. */
struct error_finding {
    uint32_t site;
    enum verdict verdict; /* broken, not decided or not finished */
    enum stop_reason stop;
    struct coverage coverage;
    const struct replay *sequence;
    struct leaning leaning; /* not decided: on what */
    uint64_t away;          /* STOP_AWAY: it cannot occur before so many
                               scans */
};

/* Assumptions that leave no way to go on. */
struct dead_end_finding {
    const bool *assumption; /* those that take part */
    const struct replay *sequence;
    bool leans; /* it may be there only as open places come out */
};

enum branch_state {
    BRANCH_TAKEN,      /* without any fault */
    BRANCH_NEVER,      /* with no fault either, as many as were let appear */
    BRANCH_NOT_KNOWN,
    BRANCH_WITH_FAULT, /* only with a fault */
    BRANCH_TAKEN_OPEN  /* with a fault; whether without is not known */
};

/* What of the control text is reached at all. */
struct taken {
    uint32_t faults;                  /* so many were let appear, at most */
    bool ends;                        /* run-time errors end paths: whether a
                                         scan that ends so runs into what is
                                         never reached was not asked */
    const enum branch_state *branch;  /* per branch site */
    const enum branch_state *stretch; /* per stretch of statements */
    const struct cause_set *branch_by, *stretch_by;
        /* with a fault: the causes in the shortest sequence there; none
           where it was not found within bounds */
};

struct findings {
    const struct model *model;
    const struct machine *machine; /* reads the states of replays */
    const struct requirement_finding *requirements;
    uint32_t n_requirements; /* those asked for, in declared order */
    const struct error_finding *errors;
    uint32_t n_errors;       /* reachable or open ones */
    uint32_t n_error_sites;  /* looked at */
    const struct dead_end_finding *dead_ends;
    uint32_t n_dead_ends;
    const struct taken *taken; /* NULL when only some requirements were
                                  asked */
    const bool *assumption_idle;       /* per assumption: read by nothing that
                                          was asked */
    const bool *assumption_unneeded;   /* per assumption: read, but needed by
                                          nothing that was asked */
    bool quick;                        /* needed assumptions were left out */
    bool entire;                       /* each question took in the whole
                                          machine, read or not */
    uint32_t by_sets, by_tiles;        /* questions that either engine
                                          answered */
    const char *internal_error; /* a sentence, or NULL: nothing else counts */
};

/* Up to which error all is judged that is kept: of those with STOP_AWAY the
 * nearest, as an index of errors; n_errors: none is left open so. */
uint32_t findings_nearest_away(const struct findings *findings);

/* 0 every requirement kept and put to the test; 1 something broken or not
 * put to the test, or a limit looser than that of its template without a
 * reason; 3 not finished or not decided; 4 internal error.
 * Precedence 4, 1, 3, 0. */
int findings_exit_code(const struct findings *findings);

/* "kept", "broken", "not put to the test", "not decided", "not finished". */
const char *verdict_words(enum verdict verdict);

#endif
