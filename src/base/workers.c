#include "base/workers.h"

#include <stdlib.h>

#include "base/ensure.h"
#include "base/os.h"
#include "base/text.h"
#include "base/thread.h"

/* A child has as long as it needs. */
static const double ANY_TIME = 1e6;

/* All that the threads share; next is looked at inside the monitor only. */
struct crew {
    const struct workers *workers;
    struct monitor *monitor;
    uint32_t next;
};

struct errand {
    const struct workers *workers;
    uint32_t number;
};

static bool in_child(void *context, struct text *result)
{
    const struct errand *errand = context;

    return errand->workers->job(errand->workers->context, errand->number,
                                result);
}

static bool stopped(const struct workers *workers)
{
    return workers->stops != NULL && workers->stops();
}

/* False when there is nothing left to do. */
static bool fetch(struct crew *crew, uint32_t *number)
{
    bool any;

    monitor_enter(crew->monitor);
    any = crew->next < crew->workers->n && !stopped(crew->workers);
    if (any)
        *number = crew->next++;
    monitor_leave(crew->monitor);
    return any;
}

static void work(void *context)
{
    struct crew *crew = context;
    struct errand errand = {.workers = crew->workers};
    struct text result = {0};

    while (fetch(crew, &errand.number)) {
        bool good = os_in_child(in_child, &errand, ANY_TIME, &result) ==
                    OS_OK;

        monitor_enter(crew->monitor);
        if (!stopped(crew->workers))
            crew->workers->take(crew->workers->context, errand.number,
                                good ? &result : NULL);
        monitor_leave(crew->monitor);
    }
    text_release(&result);
}

void workers_run(const struct workers *workers)
{
    struct crew crew = {.workers = workers, .monitor = monitor_new()};
    uint32_t n = workers->at_a_time;
    struct thread **threads;

    ENSURE(n > 0);
    if (n > workers->n)
        n = workers->n > 0 ? workers->n : 1;
    threads = calloc(n, sizeof *threads);
    ENSURE(threads != NULL);
    for (uint32_t i = 1; i < n; i++)
        threads[i] = thread_start(work, &crew);
    work(&crew);
    for (uint32_t i = 1; i < n; i++)
        thread_join(threads[i]);
    free(threads);
    monitor_free(crew.monitor);
}
