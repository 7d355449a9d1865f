/* study.h - the tools of one study: a model ready to be asked. */
#ifndef KEEPCLEAR_STUDY_STUDY_H
#define KEEPCLEAR_STUDY_STUDY_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "engine/engines.h"
#include "lower/lower.h"

struct arena;
struct despite;
struct machine;
struct memo;
struct model;
struct share;
struct keep;
struct findings;

/* study/despite's own; shared by copies of a study. */
struct despites {
    struct ledger *ledgers;
};

struct study_setting {
    uint64_t most_situations; /* per question, 0: no limit */
    uint64_t most_bytes;      /* 0: no limit */
    bool (*interrupted)(void);
    void (*progress)(void *context, uint32_t level, uint64_t situations);
    void *progress_context;
    /* Called when the run-time errors are judged and after each requirement,
     * with what is found so far; NULL: never. */
    void (*found)(void *context, const struct findings *so_far);
    void *found_context;
    const bool *only;         /* per requirement: is it asked; NULL: all */
    bool quick;               /* needed assumptions are not looked for */
    enum engine engine;       /* that is asked */
    uint32_t threads;         /* that it may use, 0 and 1: one */
    bool alone;               /* nothing is shared: each question is run */
    bool timed;               /* movement times count from the beginning */
    bool whole;               /* counters are not cut (logic/saturate.h) */
    bool entire;              /* every question takes in all there is */
    bool early;               /* a signal, and the limit of bytes, count while
                                 the model is made ready, too: study_open is
                                 then false without a record in diags */
};

/* Questions that each engine answered. */
struct study_asked {
    uint32_t sets, tiles;
};

struct study {
    struct arena *arena; /* findings lie here; borrowed */
    const struct model *model;
    struct lowered *lowered;
    struct machine *machine;
    struct memo *memo;   /* study/answer's own, from its first use on */
    struct share *share;
    struct despites *despites;
    struct keep *keep; /* of its slices; copies of a study share it; NULL:
                            nothing is kept */
    struct study_setting setting;
    uint64_t effort;     /* of the engine over sets, for each question; 0: any.
                            Half as much from each on that needed more */
    uint32_t most_faults;  /* largest n of any requirement */
    VEC(uint32_t) ends;    /* watches of errors known to be reachable */
    bool errors_judged;    /* ends and errors_open are known */
    bool errors_sure;      /* one of the ends leans on no open place */
    bool errors_open;      /* an error could not be excluded */
    bool passes_cut;       /* one of the ends is a loop that is followed no
                              further: what lies behind is not known */
    uint64_t errors_away;  /* nor some that cannot occur within so many
                              scans from power-up, too many to look there;
                              0: there is none such */
    const bool *dropped;   /* per assumption: left out of every question;
                              NULL: none */
    const struct despite *instead; /* faults that may appear, instead of those
                                      that a requirement names; or NULL */
    struct study_asked asked;
    const char *internal_error;
};

/* Makes a model ready.  False when it is beyond this version; diags then
 * says why. */
bool study_open(struct study *study, struct arena *arena,
                const struct model *model,
                const struct study_setting *setting, struct diags *diags);
void study_close(struct study *study);

/* The first internal error is kept: what is a sentence. */
void study_internal(struct study *study, const char *what);

#endif
