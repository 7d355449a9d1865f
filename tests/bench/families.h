/* families.h - models of the bench that come in sizes; invented. */
#ifndef KEEPCLEAR_BENCH_FAMILIES_H
#define KEEPCLEAR_BENCH_FAMILIES_H

struct text;

/* Writes the control and the review text of a member of a family into the
 * folder of the bench, and appends the path of the review to `path`. */

/* n bodies beside each other, coupled by one stop and one pump.  Pump: never
 * do two have it. */
void family_side_by_side(struct text *path, unsigned n);

/* The timers of models/timers.st with a scan of so many milliseconds.  Runs:
 * never does it run while the horn sounds, never without the lamp. */
void family_scan(struct text *path, unsigned scan_ms);

/* A review text written elsewhere, with the control text that does
 * nothing. */
void family_puzzle(struct text *path, const char *name,
                   const struct text *review);

#endif
