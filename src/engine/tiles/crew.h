/* crew.h - several workers, each with a share of the situations.
 *
 * What a worker comes upon that is another's goes to that one, many at a
 * time, and it alone takes it in.  A level is over when all have walked and
 * nothing is under way.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_CREW_H
#define KEEPCLEAR_ENGINE_TILES_CREW_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/budget.h"

struct crew;

enum { CREW_MOST = 64 };

struct crew_job {
    void *context;
    uint32_t stride; /* words of an entry */
    /* Walks over the share of a worker, which calls crew_hand. */
    void (*walk)(void *context, uint32_t worker);
    /* Takes n entries into the share of a worker; false: stop. */
    bool (*take)(void *context, uint32_t worker, const uint64_t *entries,
                 uint32_t n);
    bool (*goes_on)(void *context); /* false: all stop */
    void (*full)(void *context);    /* no bytes left: it shall stop */
};

/* n workers, 2 to CREW_MOST; the caller is number 0, the others are threads
 * that sleep.  NULL: no threads or bytes left. */
struct crew *crew_new(const struct crew_job *job, uint32_t n,
                      struct budget *budget);
void crew_free(struct crew *crew);

/* A level, each worker in its thread, or one after the other where that is
 * not worth it. */
void crew_walk(struct crew *crew, bool together);

/* Gives an entry to a worker, itself perhaps; false: stop. */
bool crew_hand(struct crew *crew, uint32_t from, uint32_t to,
               const uint64_t *entry);

/* Once goes_on says no: wakes those that wait for others. */
void crew_stop(struct crew *crew);

#endif
