/* blind.h - from which situations a choice of ours, made without seeing
 * those of others in the same scan, does within one scan. */
#ifndef KEEPCLEAR_ENGINE_SETS_BLIND_H
#define KEEPCLEAR_ENGINE_SETS_BLIND_H

#include "engine/sets/asked.h"
#include "engine/sets/room.h"

struct blind;
struct sets;

/* Of a later scan with these choices fixed.  asked->side is not NULL.  Lies
 * in the arena of the run, its sets are held by the scope of the caller;
 * means nothing once the guard does not pass. */
struct blind *blind_new(struct sets *sets, const struct regain_asked *asked,
                        const uint32_t *fixed);

/* Those of the situations from which some choice of ours brings the goal
 * about or leads into `can`, as docs/notes/step.md, section 8, says. */
set blind_choose(const struct blind *blind, set from, set can);

#endif
