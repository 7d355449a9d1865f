/* odometer.h - every way through one scan.
 *
 *     odometer_begin(odometer, setting, state);
 *     while ((result = odometer_next(odometer)))
 *         look at result, odometer->choices, odometer->after;
 *
 * The scan is run again for each combination of the choices that it reads; a
 * choice that it does not read stands at rest, since no other value of it
 * would make a difference.
 */
#ifndef KEEPCLEAR_REFERENCE_ODOMETER_H
#define KEEPCLEAR_REFERENCE_ODOMETER_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/machine.h"

struct arena;

struct odometer {
    uint32_t *choices; /* value index per row: this combination */
    int64_t *after;    /* state after the judging, if it was judged */

    /* private */
    struct machine *machine;
    struct step_setting setting;
    const int64_t *from;
    const bool *fixed;
    bool begun;
};

/* A new one; lies in the arena and is used for many states. */
struct odometer *odometer_new(struct arena *arena, struct machine *machine);

/* Begins with the ways out of a state (borrowed), or, where it is NULL, the
 * first scans. */
void odometer_begin(struct odometer *odometer,
                    const struct step_setting *setting,
                    const int64_t *from);

/* Before the first odometer_next: rows marked in `fixed` (borrowed) keep the
 * value they have in `choices`. */
void odometer_fix(struct odometer *odometer, const bool *fixed,
                  const uint32_t *choices);

/* The next combination, run; NULL when there is none left. */
const struct step_result *odometer_next(struct odometer *odometer);

#endif
