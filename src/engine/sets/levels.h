/* levels.h - a run over sets of situations, level by level. */
#ifndef KEEPCLEAR_ENGINE_SETS_LEVELS_H
#define KEEPCLEAR_ENGINE_SETS_LEVELS_H

#include "engine/sets/run.h"

/* A run that has not looked at anything yet; as sets_explore. */
struct sets *levels_begin(const struct slice *slice,
                       const struct explore_setting *setting,
                       enum scheme_kind kind);

/* Goes on until so many levels are complete, or that effort of the room was
 * reached at the end of one: then true; false: the run has ended. */
bool levels_go_on(struct sets *sets, uint32_t levels, uint64_t effort);

/* Makes both forms of a run, as far as they are not there yet; false: the
 * guard did not pass. */
bool levels_forms(struct sets *sets);

/* Makes the reach of a run that has ended. */
void levels_end(struct sets *sets);
void levels_free(struct sets *sets); /* NULL is allowed */

#endif
