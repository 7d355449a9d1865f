/* clock.h - processor seconds and wall seconds.
 *
 * Where one thread runs, processor seconds are compared: what else the
 * machine does falls on neither side. */
#ifndef KEEPCLEAR_BENCH_CLOCK_H
#define KEEPCLEAR_BENCH_CLOCK_H

#include <stdbool.h>

double clock_processor(void); /* of this process, all threads */
double clock_children(void);  /* of children that have ended */
double clock_wall(void);

/* Until when a run may last; clock_over is for engines to ask. */
void clock_limit(double seconds);
bool clock_over(void *unused);

#endif
