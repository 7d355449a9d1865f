/* follow.h - which situations agree with what was seen, scan after scan.
 *
 * A run that is led along by observations.  Tracks are sets of situations
 * that are led along side by side.  What a run holds does not grow with the
 * number of scans; a room is open from follow_open to follow_close (sets.h).
 */
#ifndef KEEPCLEAR_ENGINE_SETS_FOLLOW_H
#define KEEPCLEAR_ENGINE_SETS_FOLLOW_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/explore.h"
#include "engine/sets/observed.h"

struct follow;

/* The first scan, or any reachable situation, is what may be seen first; every
 * track stands there as what it may come to (follow_keep).  Never NULL; look
 * at follow_end. */
struct follow *follow_open(const struct slice *slice,
                           const struct explore_setting *setting,
                           uint32_t n_tracks, bool anywhere);
void follow_close(struct follow *follow); /* NULL is allowed */

/* EXPLORE_COMPLETE while all that was answered so far can be relied on; asked
 * before an answer is believed, and nothing is asked of a run that ended. */
enum explore_end follow_end(struct follow *follow);

/* What a track may come to after at least `least` and at most `most` scans
 * from where it stands.  held: NULL, or what was seen after each of these
 * scans but the last. */
void follow_scans(struct follow *follow, uint32_t track, uint64_t least,
                  uint64_t most, const struct observed *held);

/* What of that agrees with what was seen, leaving out number `but`
 * (FLAT_NONE: nothing) is where the track now stands; false: no situation
 * does. */
bool follow_keep(struct follow *follow, uint32_t track,
                 const struct observed *seen, uint32_t but);

/* Adds what track `from` may come to and agrees with all that was seen but
 * number `but` to where a track stands; false: it stands nowhere. */
bool follow_join(struct follow *follow, uint32_t track, uint32_t from,
                 const struct observed *seen, uint32_t but);

/* Does a situation agree that the track may come to, number `but` not having
 * the value seen, or not looked at?  FLAT_NONE: agreeing with all. */
enum follow_but { FOLLOW_OTHER, FOLLOW_ANY };
bool follow_could(struct follow *follow, uint32_t track,
                  const struct observed *seen, uint32_t but,
                  enum follow_but how);

/* Can a cell have the value where a track stands? */
bool follow_stands(struct follow *follow, uint32_t track, uint32_t cell,
                   int64_t value);

/* Can number `which` of what may be seen have the value, where a track may
 * come to? */
bool follow_comes(struct follow *follow, uint32_t track,
                  const struct observed *seen, uint32_t which,
                  int64_t value);

#endif
