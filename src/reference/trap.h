/* trap.h - from here on it can never be brought about: shown by walking.
 *
 * What ALWAYS POSSIBLE AGAIN claims of a situation, checked the plain way on
 * states of the reference interpreter: every situation that can still follow
 * is looked at, no fault appearing and power on, and a set of them is closed
 * and free of what is looked for.  First on whole states; where these are not
 * few, on the part of the machine that matters (part.h), which gives the
 * same answer; where that is too large, on whole states again.
 */
#ifndef KEEPCLEAR_REFERENCE_TRAP_H
#define KEEPCLEAR_REFERENCE_TRAP_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/machine.h"

struct arena;

enum trap_end {
    TRAP_CLOSED,   /* it can never be brought about */
    TRAP_OPEN,     /* it can */
    TRAP_TOO_LARGE /* more would have to be looked at than is allowed */
};

enum { TRAP_VALUES = 4 };

/* Values that a slot takes within the trap. */
struct trap_values {
    uint32_t n; /* one more than TRAP_VALUES: there are further ones */
    int64_t at[TRAP_VALUES];
};

struct trap {
    enum trap_end end;
    bool against;     /* others choose against us within it */
    uint32_t states;  /* that can still follow, the one it begins with
                         included; for TRAP_CLOSED all in the trap */
    const struct trap_values *values; /* per slot; TRAP_CLOSED only */
    const bool *matters; /* per slot; NULL: whole states were walked.  Values
                            of slots that do not matter say nothing */
};

/* Is the state after a judging a trap for requirement number `requirement`,
 * whose form is POSSIBLE AGAIN?  Of the setting, the faults and what is
 * dropped count.  Lies in the arena. */
const struct trap *trap_walk(struct arena *arena, struct machine *machine,
                             const struct step_setting *setting,
                             uint32_t requirement, const int64_t *state);

/* The same on whole states only, and on the part only. */
const struct trap *trap_walk_whole(struct arena *arena,
                                   struct machine *machine,
                                   const struct step_setting *setting,
                                   uint32_t requirement,
                                   const int64_t *state);
const struct trap *trap_walk_part(struct arena *arena,
                                  struct machine *machine,
                                  const struct step_setting *setting,
                                  uint32_t requirement,
                                  const int64_t *state);

#endif
