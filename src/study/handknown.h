/* handknown.h - what was so for sure in some place: per value of each cell. */
#ifndef KEEPCLEAR_STUDY_HANDKNOWN_H
#define KEEPCLEAR_STUDY_HANDKNOWN_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct slice;
struct steer;

/* Nothing yet; lies in the arena.  Cells with many values are left out. */
bool *handknown_new(struct arena *arena, const struct slice *slice);

/* Is something so for sure in a place that is not empty, and never was
 * before?  It is noted. */
bool handknown_note(const struct slice *slice, struct steer *steer,
                    uint32_t place, bool *known);

#endif
