/* sets.h - every reachable situation of a slice, breadth first, as sets: one
 * step takes all situations of a level at once.
 *
 * Finds the same as explore(), number by number.  What it costs depends not
 * on how many situations there are but on how regular they are.
 *
 * The sets of a run live in a library that knows only one run at a time: from
 * sets_explore to sets_free no second one may be begun, which is checked.
 * What outlives the run is to be copied before.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_SETS_H
#define KEEPCLEAR_ENGINE_SETS_SETS_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/reach.h"
#include "engine/sequence.h"

struct sets;

/* Explores; never NULL.  The slice and the arrays of the setting must outlive
 * the result; setting may be NULL: no limits.  Limits are noticed between
 * operations; a level that exceeds the most situations is not complete, nor
 * is that at which the last wanted watch is seen. */
struct sets *sets_explore(const struct slice *slice,
                          const struct explore_setting *setting);
void sets_free(struct sets *sets); /* NULL is allowed */

/* What was found; lies in sets, as all that it points to. */
const struct reach *sets_reach(const struct sets *sets);

/* The situations that lie on some shortest way to a goal. */
struct sets_path;

/* To something that was seen.  NULL: it was not seen, or a limit of the run
 * was reached on the way back: then sets_lost.  Lies in sets. */
const struct sets_path *sets_path(struct sets *sets, enum sequence_goal goal,
                                  uint32_t index);
bool sets_lost(const struct sets *sets);

/* Scans of the shortest way; of a dead end that with the last row of
 * struct sequence. */
uint32_t sets_path_length(const struct sets_path *path);

/* Hands the situations that lie on such a way after `level` scans to the
 * taker, each once; level 1 to one less than the length. */
void sets_path_list(const struct sets_path *path, uint32_t level,
                    explore_taker *take, void *taker);

#endif
