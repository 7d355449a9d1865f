#include "tests/bench/clock.h"

#include <sys/resource.h>
#include <time.h>

/* On a busy machine a run may take so many times as long by the wall. */
static const double MOST_TIMES = 4;

static double end_of_run, end_by_wall;

static double at(clockid_t id)
{
    struct timespec t;

    clock_gettime(id, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

double clock_processor(void)
{
    return at(CLOCK_PROCESS_CPUTIME_ID);
}

double clock_wall(void)
{
    return at(CLOCK_MONOTONIC);
}

double clock_children(void)
{
    struct rusage use;

    getrusage(RUSAGE_CHILDREN, &use);
    return (double)(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
           1e-6 * (double)(use.ru_utime.tv_usec + use.ru_stime.tv_usec);
}

void clock_limit(double seconds)
{
    end_of_run = clock_processor() + seconds;
    end_by_wall = clock_wall() + MOST_TIMES * seconds;
}

bool clock_over(void *unused)
{
    (void)unused;
    return clock_processor() > end_of_run || clock_wall() > end_by_wall;
}
