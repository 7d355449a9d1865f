/* live.h - a machine run by hand, as lines in a terminal of 80 columns. */
#ifndef KEEPCLEAR_PRESENT_LIVE_H
#define KEEPCLEAR_PRESENT_LIVE_H

#include <stdint.h>

struct outing;
struct sources;
struct text;

/* What happened in the scans from number `from` (counted from 0) on, one
 * line each, with the requirements that break there; scans in which nothing
 * changed are left out, and the time of the last one is told. */
void live_scans(struct text *out, const struct outing *outing,
                uint32_t from);

/* How things stand: time, hands, machine, faults, actuators, and what is set
 * for the next scan. */
void live_show(struct text *out, const struct outing *outing);

/* Why a scan could not be run: the assumption (OUTING_NOT_ALLOWED) or the
 * error site `which`. */
void live_refused(struct text *out, const struct outing *outing,
                  const struct sources *sources, int end, uint32_t which);

#endif
