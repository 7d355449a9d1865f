/* seenings.h - many conditions, each asked: can it hold at a judging?
 *
 * Conditions are put in groups; a group is asked in one run.  Movements that
 * may take any time are tried first.
 */
#ifndef KEEPCLEAR_STUDY_SEENINGS_H
#define KEEPCLEAR_STUDY_SEENINGS_H

#include "base/vec.h"
#include "study/chart.h"
#include "study/dead_end.h"
#include "study/study.h"

struct seening {
    flat_expr condition;
    enum chart_state *state; /* where the answer goes */
    uint32_t group;
    uint32_t watch;          /* seenings' own */
};

/* All zero to begin with, but the study; asked again and again. */
struct seenings {
    struct study *study;
    uint32_t faults;
    bool rough;              /* its values are a few of too many where
                                lowered says so: never does not count then */
    VEC(struct seening) open; /* to be asked next, by ascending group */
    VEC(struct flat_cell) cells; /* that conditions read, to be taken in */
    struct dead_ends ends;
    uint64_t situations;     /* of the largest question */
    bool dead_end;           /* assumptions may leave no way to go on */
    enum stop_reason stop;   /* a limit that was met */
};

void seenings_release(struct seenings *s);

/* To be asked, the state being CHART_NOT_KNOWN until then. */
void seenings_put(struct seenings *s, uint32_t group, flat_expr condition,
                  enum chart_state *state);

/* Conditions as watches of the study, one each: for what is asked beside. */
void seenings_watches(struct seenings *s, const flat_expr *conditions,
                      uint32_t n, uint32_t *watches);

/* Asks what was put.  A scan that ends in a run-time error has no judging. */
void seenings_ask(struct seenings *s,
                  void (*progress)(uint32_t done, uint32_t all));

#endif
