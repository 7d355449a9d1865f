/* reached.h - all states that were reached, level by level. */
#ifndef KEEPCLEAR_REFERENCE_REACHED_H
#define KEEPCLEAR_REFERENCE_REACHED_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "reference/machine.h"
#include "reference/stock.h"

struct reached {
    struct machine *machine;
    struct step_setting setting;
    uint32_t requirement; /* whose breach is looked for, or MODEL_NONE */
    uint32_t notice;       /* 1 + the enum notice_part that is; 0: none */
    const bool *forgotten; /* per word: of no interest, held at 0 */
    struct stock *states;  /* whole states, numbered level by level */
    VEC(uint32_t) first;   /* first[i]: number of the first state that was
                              first seen at level i + 1; one more at the end:
                              states in all */
};

/* Sets the words that are of no interest to 0. */
void reached_normalise(const struct reached *reached, int64_t *state);

/* Is what is looked for there at this judging? */
bool reached_found(const struct reached *reached,
                   const struct step_result *result);

/* Was this state first seen at this level (from 1)? */
bool reached_at(const struct reached *reached, uint32_t state,
                uint32_t level);

#endif
