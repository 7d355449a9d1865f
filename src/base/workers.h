/* workers.h - many jobs that know nothing of one another, several at a time,
 * each in a child process of its own: the library of decision diagrams has
 * one table for a whole process.
 */
#ifndef KEEPCLEAR_BASE_WORKERS_H
#define KEEPCLEAR_BASE_WORKERS_H

#include <stdbool.h>
#include <stdint.h>

struct text;

struct workers {
    uint32_t n;          /* jobs, numbered from 0 */
    uint32_t at_a_time;  /* at least 1 */
    void *context;       /* of all three */
    /* In the child: writes what it found; false: it failed. */
    bool (*job)(void *context, uint32_t number, struct text *result);
    /* In the caller's process, one call at a time, in any order of jobs.
     * result: what the job wrote, or NULL where it failed or was ended. */
    void (*take)(void *context, uint32_t number, const struct text *result);
    /* No further job is begun, and what ends now is not taken; or NULL. */
    bool (*stops)(void);
};

/* Gives back when all jobs are taken, or it was stopped. */
void workers_run(const struct workers *workers);

#endif
