/* run.h - what a run over sets of situations holds, for those that look
 * back over it. */
#ifndef KEEPCLEAR_ENGINE_SETS_RUN_H
#define KEEPCLEAR_ENGINE_SETS_RUN_H

#include "base/vec.h"
#include "engine/reach.h"
#include "engine/sets/form.h"
#include "engine/sets/guard.h"
#include "engine/sets/scheme.h"

struct counter;
struct sets_path;

struct sets {
    struct arena *arena;
    const struct slice *slice;
    struct explore_setting setting;
    enum scheme_kind kind;
    const struct scheme *scheme;
    struct room *room;
    struct guard guard;
    struct workshop shop;
    const struct form *first, *next; /* next: NULL until needed */
    set reached;
    VEC(set) levels;        /* situations first seen at level i + 1 */
    VEC(uint64_t) sizes;
    VEC(uint64_t) effort;   /* of the room, after each level */
    uint32_t reported;      /* level that progress was told last */
    bool whole;             /* the next level is taken from all reached */
    struct counter *counter;
    uint32_t *watch_level, *end_level;
    struct reach reach;
};

#endif
