/* engines.h - our engines, each a row of one table. */
#ifndef KEEPCLEAR_BENCH_ENGINES_H
#define KEEPCLEAR_BENCH_ENGINES_H

#include <stdbool.h>
#include <stdint.h>

struct found;
struct reach;
struct slice;

struct engine_task {
    const struct slice *slice;
    double most_seconds;       /* wall */
    uint64_t most_situations;  /* 0: no limit */
    bool until;                /* stops when the question was seen */
};

struct engine {
    const char *name;
    bool is_set;               /* takes whole levels as sets */
    void (*run)(const struct engine_task *task, struct found *found);
};

/* Number i from 0, NULL behind the last. */
const struct engine *engine_at(uint32_t i);

/* By name, or NULL: not there yet. */
const struct engine *engine_find(const char *name);

#endif
