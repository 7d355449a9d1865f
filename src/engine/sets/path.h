/* path.h - the situations that lie on some shortest way, as sets. */
#ifndef KEEPCLEAR_ENGINE_SETS_PATH_H
#define KEEPCLEAR_ENGINE_SETS_PATH_H

#include "engine/explore.h"
#include "engine/sets/run.h"

/* Those from which `last` can be reached through first seen levels: at[r] lies
 * in level r + 1, at[length - 2] is `last`.  They lie in the arena of the run
 * and are held by the scope of the caller; NULL once the guard does not pass.
 * length is at least 2. */
set *path_back(struct sets *sets, uint32_t length, set last);

/* Hands the situations of a set to the taker, each once, until it takes no
 * more. */
void path_list(const struct sets *sets, set at, explore_taker *take,
               void *taker);

#endif
