/* steer.h - where a machine may stand while people lead it by hand.
 *
 * A place is a set of situations under a number: all in which the machine can
 * be after what was done, whatever else happened.  The same set has the same
 * number.  What holds in a whole place holds however the machine answered.
 * A room is open from steer_open to steer_close (sets.h).
 */
#ifndef KEEPCLEAR_ENGINE_SETS_STEER_H
#define KEEPCLEAR_ENGINE_SETS_STEER_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/explore.h"
#include "engine/sets/observed.h"

struct steer;

enum { STEER_REACHED = 0 /* the place of every reachable situation */ };

/* passing: cells that say what happened in the scan behind a situation, and
 * that no later scan reads: n_passing of them, FLAT_NONE for one that is not
 * there.  They are forgotten in every place.  Never NULL; look at
 * steer_end. */
struct steer *steer_open(const struct slice *slice,
                         const struct explore_setting *setting,
                         const uint32_t *passing, uint32_t n_passing);
void steer_close(struct steer *steer); /* NULL is allowed */

/* EXPLORE_COMPLETE while all that was answered so far can be relied on; asked
 * before an answer is believed, and nothing is asked of a run that ended. */
enum explore_end steer_end(struct steer *steer);

/* Those of a place that agree with what was seen. */
uint32_t steer_keep(struct steer *steer, uint32_t place,
                    const struct observed *seen);

/* Both places together. */
uint32_t steer_join(struct steer *steer, uint32_t a, uint32_t b);

/* The place where no situation is. */
uint32_t steer_nowhere(struct steer *steer);

/* Is it possible that the machine stands there at all? */
bool steer_is_empty(const struct steer *steer, uint32_t place);

/* Can the cell have the value there? */
bool steer_can(struct steer *steer, uint32_t place, uint32_t cell,
               int64_t value);

/* Some scans in which nothing changes that a hand does. */
struct steer_scans {
    uint64_t least, most;           /* so many; UINT64_MAX: any number */
    const struct observed *held; /* seen after each of them */
    bool *happened; /* per passing cell: gets true where some scan no later
                       than `least` is one in which it was 1, whatever the
                       machine did; others stay.  NULL: not asked */
};

/* Where the machine may stand after that. */
uint32_t steer_scans(struct steer *steer, uint32_t place,
                     const struct steer_scans *scans);

#endif
