/* exploration.h - what a run of the explorer leaves behind, for those that
 * walk over it again. */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_EXPLORATION_H
#define KEEPCLEAR_ENGINE_CONCRETE_EXPLORATION_H

#include <stdint.h>

#include "base/vec.h"
#include "engine/concrete/expand.h"

struct arena;
struct pack;
struct slice;
struct store;

struct exploration {
    struct arena *arena; /* all but the store lies in it */
    const struct slice *slice;
    const uint32_t *fixed_first, *fixed_next; /* own copies, or NULL */
    const struct pack *pack;
    struct store *store;
    struct expander *first, *next; /* bare: what exploring reads */
    struct expander *view_first, *view_next; /* for views, once needed */
    struct expander *view_given; /* of later scans with `given` fixed too */
    uint32_t *given;             /* per choice row; NULL until needed */
    bool walking;                            /* a view is under way */
    /* Level i + 1 begins at situation starts.at[i]; the last entry is where
     * the level that is being filled ends so far. */
    VEC(uint64_t) starts;
    uint32_t judged;          /* judgings that were looked at whole */
    int end;                  /* enum explore_end */
    uint32_t *watch_level;    /* per watch, 0: never */
    uint32_t *end_level;      /* per end, 0: never */
    uint32_t dead_end;        /* FLAT_NONE: none */
    bool (*interrupted)(void *context); /* NULL: never */
    void *interrupted_context;
    uint64_t most_bytes;      /* 0: no limit */
    uint64_t most_work;       /* 0: any */
    bool spent;               /* most_work ended it */
};

/* Must a walk over it be left? */
bool exploration_is_interrupted(const struct exploration *exploration);

/* Everything made and nothing looked at; most_bytes as in store_new. */
struct exploration *exploration_new(const struct slice *slice,
                                    uint64_t most_bytes,
                                    const uint32_t *fixed_first,
                                    const uint32_t *fixed_next);

/* An expander of its own for a further walk, with the same fixed values;
 * lies in the arena given. */
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
