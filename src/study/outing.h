/* outing.h - a machine that is run by hand, scan by scan, and can be taken
 * back.
 *
 * It is played by the reference interpreter alone.  What is set (a button
 * held, power off) stays set; faults that appear stay.  The record has the
 * form of a replay, so that every view of a sequence serves here too.
 */
#ifndef KEEPCLEAR_STUDY_OUTING_H
#define KEEPCLEAR_STUDY_OUTING_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "check/model.h"
#include "reference/replay.h"
#include "reference/setting.h"
#include "study/findings.h"

struct arena;
struct odometer;
struct why;

/* A movement that the machine shall make as soon as it may. */
struct outing_move {
    uint32_t slot;
    int64_t to;
};

/* What was set, and what is still to come, at one moment. */
struct outing_moment {
    const uint32_t *set;              /* value index per choice row */
    const struct outing_move *moves; /* n_moves of them */
    uint32_t n_moves;
    const bool *breach; /* per requirement, at the judging before */
    bool loaded;        /* all scans so far came from the loaded sequence */
};

struct outing {
    struct arena *arena;    /* borrowed; records lie here */
    struct model model;     /* a copy: choices may get further values */
    struct choice *choices; /* of that copy */
    struct machine *machine;
    struct findings findings; /* only model and machine: for the views */
    struct replay replay;     /* the scans so far */
    uint32_t *set;
    int64_t *state;
    VEC(struct replay_scan) scans;
    VEC(struct outing_moment) moments; /* one more than scans */
    VEC(struct outing_move) moves;     /* not made yet */
    const struct replay *sequence;      /* loaded, or NULL */
    struct odometer *odometer;
};

enum outing_end {
    OUTING_RAN,
    OUTING_NOT_ALLOWED, /* an assumption does not hold: no scan was run */
    OUTING_ERROR        /* a run-time error: no scan was run */
};

/* Before the first scan.  The outing must not move: views point into it. */
void outing_open(struct outing *outing, struct arena *arena,
                  const struct model *model);
void outing_close(struct outing *outing);

/* From the next scan on.  Row of kind START, PAST (before the first scan
 * only), OPERATOR, INPUT or SHARED.  False when it never has that value. */
bool outing_set(struct outing *outing, uint32_t row, int64_t value);

/* Scans take so many milliseconds from the next one on, before that the
 * longest time.  False when they never do. */
bool outing_pace(struct outing *outing, int64_t ms);

/* With the next scan a fault appears, and with it its cause if need be; one
 * that is INTERMITTENT and present goes.  False: it would have to be there
 * from power-up.  Not for one that is excluded. */
bool outing_fault(struct outing *outing, uint32_t fault);

/* Power goes or returns, with the next scan. */
void outing_power(struct outing *outing, bool off);

/* The movement is made in the next scan in which it may.  False when the
 * variable stands there already. */
bool outing_move(struct outing *outing, uint32_t slot, int64_t to);

/* Runs one scan.  question: or NULL.  which: the assumption or the error
 * site, when none was run. */
enum outing_end outing_run(struct outing *outing,
                             const struct step_question *question,
                             uint32_t *which);

/* Takes back to the moment after `scans` scans, as if nothing had been set
 * since. */
void outing_back(struct outing *outing, uint32_t scans);

/* Loads an accepted sequence of the model, to be walked from the start. */
void outing_load(struct outing *outing, const struct replay *sequence);

/* Runs the next scan of the loaded sequence.  False when there is none, or
 * when something else was run meanwhile. */
bool outing_next(struct outing *outing);

/* The value of a slot after the last scan; its start before the first. */
int64_t outing_slot(const struct outing *outing, uint32_t slot);

/* The chain behind the value that a slot has after the last scan; NULL
 * before the first.  Lies in the outing's arena. */
const struct why *outing_why(const struct outing *outing, uint32_t slot);

/* Is the fault present after scan number `scan` (from 0)? */
bool outing_fault_present(const struct outing *outing, uint32_t scan,
                           uint32_t fault);

/* Does a requirement break in scan number `scan`?  asked: only where its
 * DESPITE takes in the faults present.  Never for POSSIBLE. */
bool outing_breaks(const struct outing *outing, uint32_t scan,
                    uint32_t requirement, bool asked);

#endif
