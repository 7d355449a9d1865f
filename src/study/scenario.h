/* scenario.h - a SCENARIO of a review text, played. */
#ifndef KEEPCLEAR_STUDY_SCENARIO_H
#define KEEPCLEAR_STUDY_SCENARIO_H

#include <stdbool.h>
#include <stdint.h>

#include "study/outing.h"

struct arena;

/* A name in an expectation, and what it was. */
struct scenario_sight {
    const struct code_expr *leaf;
    int64_t value;
};

enum scenario_event {
    SCENARIO_EXPECTED,    /* an EXPECT or EXPECT BROKEN: met or not */
    SCENARIO_BREACH,      /* a requirement broke, and no EXPECT BROKEN of this
                             scenario speaks of it: `index` */
    SCENARIO_NOT_MOVED,   /* a MOVE that the machine never made */
    SCENARIO_STANDS,      /* a MOVE to where the machine stood already */
    SCENARIO_NOT_ALLOWED, /* assumption `index` does not hold: end */
    SCENARIO_ERROR        /* run-time error at site `index`: end */
};

struct scenario_note {
    enum scenario_event event;
    uint32_t scan; /* number of the last scan, from 0 */
    uint32_t index;
    bool met;                     /* SCENARIO_EXPECTED */
    const struct play_step *step; /* or NULL: SCENARIO_BREACH */
    const struct scenario_sight *sights; /* EXPECT not met */
    uint32_t n_sights;
};

struct scenario_result {
    const struct scenario *scenario;
    struct outing *outing; /* after the end; its record */
    const struct scenario_note *notes;
    uint32_t n_notes;
    uint32_t n_expected;
    bool as_expected; /* every note is an expectation that was met */
};

/* Plays it from power-up; the result lies in the arena. */
struct scenario_result *scenario_play(struct arena *arena,
                                      const struct model *model,
                                      const struct scenario *scenario);

/* Frees the outing's lists. */
void scenario_release(struct scenario_result *result);

#endif
