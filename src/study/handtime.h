/* handtime.h - how many scans lie in what a hand and a wrist watch keep. */
#ifndef KEEPCLEAR_STUDY_HANDTIME_H
#define KEEPCLEAR_STUDY_HANDTIME_H

#include <stdint.h>

struct model;
struct steer_scans;

/* Scans that surely lie within so many milliseconds. */
uint64_t handtime_least(const struct model *model, int64_t ms);

/* Scans that can begin within them. */
uint64_t handtime_most(const struct model *model, int64_t ms);

/* The scans of a wait of so many seconds, which may end too early by
 * HAND_EARLY_MS.  Nobody is hurried: who writes something down takes as long
 * as it takes. */
void handtime_watch(const struct model *model, uint32_t seconds,
                    struct steer_scans *scans);

#endif
