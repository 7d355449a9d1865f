/* scan.h - the working data of the scan that is being run.
 *
 * Inside of the machine; nothing above machine.h includes it.
 */
#ifndef KEEPCLEAR_REFERENCE_SCAN_H
#define KEEPCLEAR_REFERENCE_SCAN_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"
#include "reference/layout.h"
#include "reference/setting.h"

struct arena;
struct tracing;

/* Where the variables of the running text lie.  All zero for review texts
 * and, but for base, for programs. */
struct frame {
    uint32_t base;
    const int64_t *in_out; /* slots that its VAR_IN_OUT stand for */
    uint32_t any; /* choice row of its first open place */
};

struct scan {
    const struct model *model;
    const struct layout *layout;

    /* given */
    const struct step_setting *setting;
    const uint32_t *choices;
    const int64_t *before; /* state as it was */
    int64_t *now;          /* state as it becomes */

    bool lit, dark, returned;
    int64_t elapsed; /* ms; in the first scan the longest */
    bool no_edge; /* first, dark or returned: hands and READ have no edge */

    bool assuming;  /* step 4: free inputs stand as chosen in this scan */

    bool failed;    /* a run-time error ended the path */
    uint32_t error; /* its site */

    bool *read;      /* per choice row */
    uint32_t *order; /* rows in order of first reading */
    uint32_t n_read;

    bool *pending;      /* per slot: sampled, but not yet looked at */
    bool *line_known;   /* per line (signal.h): contact stage is done */
    int64_t *line;      /* its value after the contact stage */
    bool *joined;       /* per line: scratch for shorts */
    int64_t *sensor;    /* per sensor: sound value after step 3 */
    int64_t *seen;      /* per sensor: the same, displaced by faults */
    int64_t *command;   /* per actuator */
    bool *clock_known;  /* per TRUE FOR clock: advanced in this scan */
    bool *clock_value;
    bool *branch;       /* per branch site */
    bool *stretch;      /* per stretch */
    bool *asked, *condition; /* per condition of the decisions that the model
                                names: evaluated by this one, and its value */
    bool *vector;       /* per vector of them: the decision had it */
    bool *movement_held; /* per movement: FROM and condition */
    bool *moved;        /* per choice row: it moved something */
    bool *breach;       /* per requirement */
    bool **trigger;     /* per requirement, per trigger */
    bool notice[NOTICE_PARTS];

    struct tracing *tracing; /* observer (tracing.h), or NULL */

    int64_t *args; /* stack of argument values, and of slots that VAR_IN_OUT
                      stand for */
    uint32_t n_args;

    /* Runs a function call: statements stand above expressions, so the way
     * back up is handed down here. */
    int64_t (*call)(struct scan *scan, const struct frame *frame,
                    const struct code_expr *expr);
};

/* Allocates all arrays; everything in the arena. */
void scan_init(struct scan *scan, struct arena *arena,
               const struct model *model, const struct layout *layout);

/* Forgets the scan before. */
void scan_clear(struct scan *scan);

/* The value index (the value) that a choice row takes in this scan; notes
 * that it was read. */
uint32_t scan_choice(struct scan *scan, uint32_t row);
int64_t scan_choice_value(struct scan *scan, uint32_t row);

/* The first run-time error counts.  A site must be there: otherwise the
 * checks before us said that it cannot happen. */
void scan_fail(struct scan *scan, uint32_t site);

/* Words of the state before and now. */
int64_t scan_before(const struct scan *scan, enum place_kind kind,
                    uint32_t index);
int64_t *scan_now(struct scan *scan, enum place_kind kind, uint32_t index);

/* May this cause occur, and this fault be present, at all, as the setting
 * stands? */
bool scan_cause_allowed(const struct scan *scan, uint32_t cause);
bool scan_fault_allowed(const struct scan *scan, uint32_t fault);

/* Is it present now? */
bool scan_fault(const struct scan *scan, uint32_t fault);

#endif
