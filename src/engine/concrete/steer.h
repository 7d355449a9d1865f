/* steer.h - where a machine may stand while people lead it by hand.
 *
 * A place is a set of situations under a number: all in which the machine can
 * be after what was done, whatever else happened.  The same set has the same
 * number.  What holds in a whole place holds however the machine answered.
 *
 * A grip is what stays the same during some scans: choice rows with a given
 * value; the others take every value in every scan.  Marks are values of the
 * slice that say of a scan whether something happened in it; they are no part
 * of a situation.
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_STEER_H
#define KEEPCLEAR_ENGINE_CONCRETE_STEER_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/explore.h"

struct steer;

/* marks: n_marks indices into the values of the slice, each 0 or 1.  All that
 * is given must stay as long as the result.  Never NULL; look at
 * steer_end. */
struct steer *steer_open(const struct slice *slice,
                         const struct explore_setting *setting,
                         const uint32_t *marks, uint32_t n_marks);
void steer_close(struct steer *steer); /* NULL is allowed */

/* EXPLORE_COMPLETE while all that was answered so far can be relied on; asked
 * before an answer is believed, and nothing is asked of a run that ended. */
enum explore_end steer_end(struct steer *steer);

/* ---- where it begins ---- */

/* Every reachable situation, if there are no more than `most`; else
 * nowhere. */
uint32_t steer_reached(struct steer *steer, uint64_t most);

/* After a first scan under what is fixed. */
uint32_t steer_first(struct steer *steer, const uint32_t *fixed);

/* Those of a place with any value in the cells for which `any` is true;
 * nowhere if that is more than `most`. */
uint32_t steer_widen(struct steer *steer, uint32_t place, const bool *any,
                     uint64_t most);

/* ---- places ---- */

/* What a cell must be; FLAT_NONE: it always is. */
struct steer_at {
    uint32_t cell;
    int64_t value;
};

/* Those of a place in which it is so. */
uint32_t steer_keep(struct steer *steer, uint32_t place, struct steer_at at);

/* Both places together. */
uint32_t steer_join(struct steer *steer, uint32_t a, uint32_t b);

/* The place where no situation is. */
uint32_t steer_nowhere(struct steer *steer);

/* Is it possible that the machine stands there at all? */
bool steer_is_empty(const struct steer *steer, uint32_t place);

/* Has the cell the same value in all situations of a place that is not
 * empty?  value gets it. */
bool steer_sure(struct steer *steer, uint32_t place, uint32_t cell,
                int64_t *value);

/* ---- scans ---- */

/* The number of a grip: per choice row a value index, or FLAT_NONE. */
uint32_t steer_grip(struct steer *steer, const uint32_t *fixed);

struct steer_scans {
    uint64_t least, most; /* so many; UINT64_MAX: any number */
    uint32_t grip;
    const struct steer_at *held; uint32_t n_held; /* so after each of them */
    uint32_t avoid;       /* mark that is 0 in each of them; FLAT_NONE */
    bool *happened; /* per mark: gets true where some scan no later than
                       `least` is one in which it was 1, whatever the machine
                       did; others stay.  NULL: not asked */
};

/* Where the machine may stand after that. */
uint32_t steer_scans(struct steer *steer, uint32_t place,
                     const struct steer_scans *scans);

/* Where a cell is driven to: in some scan no later than `least`, wherever the
 * machine stands, the cell can change or has the value already, and later it
 * can get it.  to[value - low] becomes true for each such value; others
 * stay. */
void steer_driven(struct steer *steer, uint32_t place,
                  const struct steer_scans *scans, uint32_t cell, bool *to);

#endif
