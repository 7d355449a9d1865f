/* engines.h - one question to whichever engine is asked, or to the one that
 * answers first.
 *
 * Both find the same, number by number; so who answers makes no difference to
 * what is said, but for the name of the engine.
 */
#ifndef KEEPCLEAR_ENGINE_ENGINES_H
#define KEEPCLEAR_ENGINE_ENGINES_H

#include "engine/reach.h"
#include "engine/sequence.h"
#include "engine/sets/regain.h"

struct arena;

enum engine {
    ENGINE_FIRST, /* both side by side, the first exact answer counts */
    ENGINE_SETS,
    ENGINE_TILES,
    ENGINE_BOTH   /* both to their end; they must agree */
};

struct engines_found {
    const struct reach *reach; /* in the arena */
    enum engine by;            /* SETS or TILES */
    const char *differ;        /* ENGINE_BOTH: where they do, a sentence; else
                                  NULL */
};

/* Asks.  What comes back outlives the slice. */
struct engines_found engines_find(struct arena *arena,
                                  const struct slice *slice,
                                  const struct explore_setting *setting,
                                  enum engine engine);

/* The canonical sequence to a goal that was seen, without storing more
 * situations than its shortest ways have; NULL where a limit was reached on
 * the way or it was not seen: then an exploration must find it. */
const struct sequence *engines_sequence(struct arena *arena,
                                        const struct slice *slice,
                                        const struct explore_setting *setting,
                                        enum sequence_goal goal,
                                        uint32_t index);

/* Can it be brought about, all choices being ours (engine/sets/regain.h)?
 * Of a question whose reach is complete. */
enum regain engines_regain(const struct slice *slice,
                           const struct explore_setting *setting,
                           const struct regain_asked *asked);

#endif
