/* task.h - what a compiled explorer is asked and what it answers; read by
 * the bench and by the text that it has compiled. */
#ifndef KEEPCLEAR_BENCH_NATIVE_TASK_H
#define KEEPCLEAR_BENCH_NATIVE_TASK_H

#include <stddef.h>
#include <stdint.h>

#define TASK_LEVELS 100000

struct native_task {
    double most_seconds;  /* wall; then it stops where it is */
    uint64_t most_expanded; /* 0: no limit */
    uint64_t sample;      /* not 0: when the search has ended, so many
                             situations are expanded with all inputs */
    int until;            /* stops when the watch was seen */
    /* answered: */
    int complete;         /* everything was looked at */
    double seconds;       /* of the processor, for the search */
    double sample_seconds;
    uint64_t situations, expanded, leaves, sample_leaves;
    uint32_t levels;      /* complete ones */
    uint64_t level_size[TASK_LEVELS];
    uint32_t watch_level; /* of the first watch, 0: never */
    size_t bytes;
};

#endif
