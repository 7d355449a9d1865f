/* exploration.h - what a run of the explorer leaves behind, for those that
 * walk over it again. */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_EXPLORATION_H
#define KEEPCLEAR_ENGINE_CONCRETE_EXPLORATION_H

#include <stdint.h>

#include "base/vec.h"
#include "engine/concrete/expand.h"
#include "engine/explore.h"

struct arena;
struct pack;
struct store;

struct exploration {
    struct arena *arena; /* all but the store lies in it */
    const struct slice *slice;
    struct explore_setting setting; /* own copies of the fixed values */
    const struct pack *pack;
    struct store *store;
    struct expander *first, *next; /* bare: what exploring reads */
    /* Level i + 1 begins at situation starts.at[i]; the last entry is where
     * the level that is being filled ends so far. */
    VEC(uint64_t) starts;
    uint32_t judged;          /* judgings that were looked at whole */
    enum explore_end end;
    uint32_t *watch_level;    /* per watch, 0: never */
    uint32_t *end_level;      /* per end, 0: never */
    uint32_t dead_end;        /* FLAT_NONE: none */
    uint32_t n_wanted;        /* watches of `until` not yet seen */
    uint64_t until_check;     /* leaves until the next look for a signal */
};

/* Everything made and nothing looked at. */
struct exploration *exploration_new(const struct slice *slice,
                                    const struct explore_setting *setting);

/* An expander of its own for a further walk, with the fixed values of the
 * setting; lies in the arena given. */
struct expander *exploration_walker(const struct exploration *exploration,
                                    struct arena *arena, bool first,
                                    unsigned parts);

/* Begins with situation `from`; UINT64_MAX: a first scan. */
void exploration_begin(const struct exploration *exploration,
                       struct expander *walker, uint64_t from);

/* The number of the situation after a leaf, UINT64_MAX: not stored. */
uint64_t exploration_target(const struct exploration *exploration,
                            struct expander *walker);

#endif
