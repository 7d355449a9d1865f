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

/* A sequence to a goal that was seen; borrowed. */
struct engines_wanted {
    struct arena *arena; /* where it is to lie */
    const struct slice *slice;
    const struct explore_setting *setting;
    enum sequence_goal goal;
    uint32_t index;
};

/* The canonical one, by sets: without storing more situations than its
 * shortest ways have.  NULL where an exploration must find it: *walked is
 * that, when it was made beside and was quicker, or will not come any further,
 * and the caller's to free; else NULL. */
const struct sequence *engines_sequence(const struct engines_wanted *wanted,
                                        enum engine engine,
                                        struct exploration **walked);

/* Can it be brought about (engine/sets/regain.h)?  Of a question whose reach
 * is complete.  The way lies in the arena; NULL: it is not looked for. */
struct regain_found engines_regain(struct arena *arena,
                                   const struct slice *slice,
                                   const struct explore_setting *setting,
                                   const struct regain_asked *asked);

#endif
