/* setting.h - what is asked of one scan, and what it showed. */
#ifndef KEEPCLEAR_REFERENCE_SETTING_H
#define KEEPCLEAR_REFERENCE_SETTING_H

#include <stdbool.h>
#include <stdint.h>

#include "base/cause_set.h"

/* first: this is scan 1.  fault_limit: n, at most so many causes ever occur;
 * allowed: per cause, may it occur (NULL: all); forbidden: the causes of each
 * set never all occur.  counted: per choice row, does it count for the three
 * costs (NULL: all).  dropped: per assumption, is it left out (NULL: none). */
struct step_setting {
    bool first;
    uint32_t fault_limit;
    const bool *allowed;
    const struct cause_set *forbidden;
    uint32_t n_forbidden;
    const bool *counted;
    const bool *dropped;
    const uint32_t *studied; /* causes whose noticing is watched; a fault
                                that has appeared then stays */
    uint32_t n_studied;      /* 0: it is not watched */
    bool free_times; /* movements may take any time, or never happen */
    bool whole;      /* an ET that goes on beyond PT is exact however long it
                        gets; else it stands where it tells no more */
    const struct step_question *question; /* or NULL */
    uint32_t held;   /* 0; else 1 + 2 * sensor + (1: TRUE, 0: FALSE): that
                        sensor shows this, whatever it sees, to all that reads
                        it but machine, assumptions, recorders and
                        requirements */
};

struct code_expr;

/* What is looked at besides, at the judging: expressions of review texts
 * that call nothing and cannot fail.  value gets n values when the end is
 * STEP_JUDGED. */
struct step_question {
    const struct code_expr *const *asked;
    uint32_t n;
    int64_t *value;
};

enum step_end {
    STEP_JUDGED,     /* went to its judging */
    STEP_NOT_ALLOWED,/* an assumption does not hold: no such scan */
    STEP_ERROR       /* a run-time error ended the path: site in result */
};

/* What one scan showed.  Arrays are owned by the machine and valid until its
 * next step.  breach and trigger count only when end is STEP_JUDGED; they
 * are all FALSE otherwise. */
struct step_result {
    enum step_end end;
    uint32_t assumption;     /* STEP_NOT_ALLOWED: which */
    uint32_t error;          /* STEP_ERROR: site */
    bool first, dark, returned;
    const bool *breach;      /* per requirement; POSSIBLE: what was looked
                                for is there */
    const bool *const *trigger; /* per requirement, per trigger: occurred */
    const bool *notice;      /* per enum notice_part: seen */
    const bool *branch;      /* per branch site: taken in this scan; with
                                STEP_ERROR, before the error */
    const bool *stretch;     /* per stretch: run in this scan; likewise */
    const bool *vector;      /* per vector of the decisions that the model
                                names: one had it; likewise */
    const int64_t *command;  /* per actuator, COMMANDED */
    const bool *contact;     /* per contact: sound value, BOOL contacts */
    const int64_t *sensor;   /* per sensor: sound value */
    uint32_t fault_budget;   /* unused faults left */
    uint32_t operator_cost, fault_cost, movement_cost; /* canonical order */
    uint32_t other_operator_cost, other_fault_cost, other_movement_cost;
                             /* the same of rows that do not count */
};

#endif
