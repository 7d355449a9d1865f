/* astray.h - the shortest way to where something can no longer be brought
 * about. */
#ifndef KEEPCLEAR_ENGINE_SETS_ASTRAY_H
#define KEEPCLEAR_ENGINE_SETS_ASTRAY_H

#include "engine/sequence.h"
#include "engine/sets/asked.h"
#include "engine/sets/room.h"

struct arena;
struct sets;

/* Of a run that is complete; `can`: those of the situations reached from
 * which it can be brought about.  There is a scan that leads out of them where
 * it is asked.
 *
 * Where it is asked after every first scan only: the first of those, as a walk
 * over them (engine/edges.h) comes upon them, which neither finds the goal nor
 * leads into `can`; what it does not decide is at rest.  Else the canonical
 * sequence whose last scan leads, where it is asked, out of `can`.
 *
 * Lies in the arena.  NULL: a limit was met, or a signal. */
const struct sequence *astray_find(struct arena *arena, struct sets *sets,
                                   const struct regain_asked *asked, set can);

#endif
