/* diagrams.h - BuDDy used directly, as somebody who knows it would: one
 * relation between a situation and the next, inputs quantified as early as
 * they can be, breadth first from the first situations. */
#ifndef KEEPCLEAR_BENCH_DIAGRAMS_H
#define KEEPCLEAR_BENCH_DIAGRAMS_H

#include <stdbool.h>
#include <stdint.h>

struct found;
struct slice;

struct diagram_task {
    const struct slice *slice;
    uint32_t seed;      /* 0: declaration order; else of a random order */
    bool reorder;       /* the library's own sifting is on */
    bool until;         /* stops when the question was seen */
    double most_seconds;/* then it is ended */
};

/* Runs in a process of its own; seconds are processor seconds.  Ended
 * early, or out of what the library can do: found->failed. */
void diagrams_run(const struct diagram_task *task, struct found *found);

/* Two at the same time.  When one is through the other may use as many
 * processor seconds, and is then ended: it would be the slower one. */
void diagrams_run_better(const struct diagram_task *tasks,
                         struct found *found, struct found *other);

/* Two at the same time, each to its own end. */
void diagrams_run_both(const struct diagram_task *tasks, struct found *a,
                       struct found *b);

#endif
