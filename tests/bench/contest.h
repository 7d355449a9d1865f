/* contest.h - one question put to our engines and to their rivals. */
#ifndef KEEPCLEAR_BENCH_CONTEST_H
#define KEEPCLEAR_BENCH_CONTEST_H

#include <stdbool.h>
#include <stdint.h>

#include "tests/bench/question.h"
#include "tests/bench/report.h"

struct engine;
struct found;
struct native;

enum contest_whom { ANY_ENGINE, NO_SETS, SETS_ALONE };

struct contest {
    struct report *report;
    const char *model;
    struct question question; /* texts NULL: a slice made by hand */
    bool until;               /* stops when the question was seen */
    struct native *native;    /* compiled when first needed */
    const char *known_by;     /* who found `known`, NULL: nobody yet */
    struct found *known;      /* of the run that came farthest */
    bool different;
    const struct engine *best[3]; /* per contest_whom, NULL: none */
};

/* Puts the question to each engine once, for at most so many seconds. */
void contest_open(struct contest *contest, struct report *report,
                  const char *model, double most_seconds);

/* The same, from a review text. */
void contest_open_text(struct contest *contest, struct report *report,
                       const char *model, const char *requirement);
void contest_close(struct contest *contest);

/* Looks whether a finding agrees with all before it. */
void contest_gate(struct contest *contest, const char *by,
                  const struct found *found);

/* Situations looked at in a second. */
double contest_rate(const struct found *found);

/* One row each: the best engine of those named against a rival. */
void contest_on_demand(struct contest *contest, enum contest_whom whom,
                       double goal);
void contest_all_inputs(struct contest *contest, double goal);
void contest_diagrams(struct contest *contest, enum contest_whom whom,
                      double goal);
void contest_random_orders(struct contest *contest, double goal);
void contest_unrolled(struct contest *contest, double goal);

/* Bytes held for each situation by the engine named, against a bound. */
void contest_bytes(struct contest *contest, const char *engine, double goal);

#endif
