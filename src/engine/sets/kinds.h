/* kinds.h - which kind of scheme a run is made with. */
#ifndef KEEPCLEAR_ENGINE_SETS_KINDS_H
#define KEEPCLEAR_ENGINE_SETS_KINDS_H

#include "engine/sets/run.h"

/* A run that has begun, and may have ended.  Where the kinds differ and the
 * run is no short one, each has been tried for some levels, and the one that
 * is to cost less goes on.  Effort is nodes made, so the choice is the same
 * on every machine; and what is found is the same whatever is chosen. */
struct sets *kinds_begin(const struct slice *slice,
                         const struct explore_setting *setting);

#endif
