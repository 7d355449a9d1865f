/* pair.h - rounds of one run of ours and one of a rival, in turn. */
#ifndef KEEPCLEAR_BENCH_PAIR_H
#define KEEPCLEAR_BENCH_PAIR_H

#include "tests/bench/contest.h"

struct pair {
    struct contest *contest;
    const struct engine *engine;
    struct found *ours, *rival; /* of the last round */
    double our_seconds[ROUNDS], rival_seconds[ROUNDS], ratio[ROUNDS];
    int rounds, failed; /* failed: rounds that the rival did not end */
};

/* An engine of those named; false: there is none, and the row is skipped. */
bool pair_open(struct pair *pair, struct contest *contest,
               enum contest_whom whom, const char *name);

/* Our run of the next round, for at most so many wall seconds. */
void pair_ours(struct pair *pair, double most_seconds);

/* Seconds of the whole by what our last run saw of it. */
double pair_our_whole(const struct pair *pair);

/* The rival's came behind it: what it found is in pair->rival.  The ratio
 * is that of the rates where one of the two saw only a part. */
void pair_note(struct pair *pair, const char *by);

/* Fills in figures, engine and ratio; pair_close is still to be called. */
struct row pair_row(const struct pair *pair, const char *name,
                    const char *rival, double goal);
void pair_close(struct pair *pair);

#endif
