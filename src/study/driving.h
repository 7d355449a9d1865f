/* driving.h - which outputs drive something. */
#ifndef KEEPCLEAR_STUDY_DRIVING_H
#define KEEPCLEAR_STUDY_DRIVING_H

#include <stdbool.h>

struct arena;
struct lowered;
struct model;

/* Per actuator: is it, or what comes of it, read by the machine, by wiring, a
 * program or an assumption?  A lamp that only requirements and recorders read
 * drives nothing.  whole: what lower_model or lower_free made of the model.
 * NULL: not known. */
const bool *driving_actuators(struct arena *arena, const struct model *model,
                              const struct lowered *whole);

#endif
