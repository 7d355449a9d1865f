/* match.h - does a recorded log fit the model?
 *
 * All situations that agree with the rows so far are followed at once, so
 * "does not fit" is said of the first row that no run of the model reaches.
 * What is held does not grow with the number of rows.
 */
#ifndef KEEPCLEAR_STUDY_MATCH_H
#define KEEPCLEAR_STUDY_MATCH_H

#include "study/recording.h"
#include "study/study.h"

struct match_setting {
    struct study_setting study; /* limits, who interrupts, whose progress */
    struct recording_setting recording;
    uint32_t faults;  /* so many causes of faults at most occurred */
    bool anywhere;    /* it begins in any reachable situation, not with the
                         first scan after power-up */
    int64_t jitter;   /* ms: the time between two rows is right but for so
                         much */
};

/* Of a column with a meaning, in the order of the recording's `meant`. */
struct match_column {
    uint64_t given;    /* rows with a value */
    uint64_t shown;    /* first line at which every other value would have
                          been rejected at once; 0: there is none */
    /* Of a log that does not fit, at the row that no run reaches: */
    const int64_t *possible; /* its values there, whatever other columns
                                say, as far as they were asked */
    uint32_t n_possible;
    uint32_t n_asked;  /* 0: too many values to ask for each */
    bool alone;        /* if only this value differed, the row would fit */
    bool once;         /* if this column differed in one row, the log would
                          fit to its end */
};

enum match_end {
    MATCH_FITS,
    MATCH_DIFFERS,
    MATCH_WRONG,       /* the log cannot be read: recording->failure */
    MATCH_NOT_FINISHED /* a limit, or a signal: explore says which */
};

struct match_findings {
    const struct model *model;
    const struct match_setting *setting;
    const struct recording *recording; /* of the first reading */
    enum match_end end;
    enum explore_end explore;
    uint64_t rows, line;      /* the last one looked at */
    const struct match_column *columns;
    /* MATCH_DIFFERS: */
    bool goes_on;             /* the situations before it can go on at all */
    uint64_t least, most;     /* scans between the two rows */
    bool explained;           /* the following was looked for to its end */
    const uint32_t *causes;   /* one more fault, and the log fits to its */
    uint32_t n_causes;        /* end: causes of the model */
    uint64_t fault_line;      /* no run with it reaches this line; 0: one
                                 does, or there is no fault */
    uint64_t most_bytes;      /* never held more than this */
};

/* Reads and follows.  NULL when the model is beyond this version; diags then
 * says why.  Lies in the arena. */
const struct match_findings *match_study(struct arena *arena,
                                         const struct model *model,
                                         const struct match_setting *setting,
                                         struct diags *diags);

#endif
