/* run.h - one run over the levels of a slice, with given tile bits. */
#ifndef KEEPCLEAR_ENGINE_TILES_RUN_H
#define KEEPCLEAR_ENGINE_TILES_RUN_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "engine/reach.h"
#include "engine/tiles/budget.h"
#include "engine/tiles/crew.h"
#include "engine/tiles/outline.h"
#include "engine/tiles/lane.h"
#include "engine/tiles/table.h"

struct arena;
struct monitor;

/* What one of several workers has: its part of the situations, and the means
 * to walk over them. */
struct share {
    struct run *run;
    uint32_t number;
    struct lane *lane;
    struct table *table;
    uint64_t found;       /* in the level being filled */
    uint32_t unlooked;    /* rounds since the last look for a signal */
    bool *ended;          /* per end: seen in this level */
    bool dead_end, reduced;
};

struct run {
    struct arena *arena;
    const struct slice *slice;
    struct explore_setting setting;
    struct budget budget;
    struct tile_bits bits;
    enum course_kind kind;
    const struct rest *rest;
    struct lane first;
    struct lane_plan plan; /* of later scans */
    struct share *shares;  /* one to begin with */
    uint32_t n_shares;
    uint64_t *owner;       /* mask: what of a situation tells its share */
    struct crew *crew;     /* NULL: one share */
    struct monitor *monitor; /* for what is rare: watches, the end */
    atomic_bool over;      /* all stop */
    struct reach reach;
    uint32_t *watch_level, *end_level;
    uint32_t n_wanted; /* watches of `until` not yet seen */
    uint32_t level;    /* being filled, or filled last */
    int64_t *low, *high; /* ranges, once it is over */
    uint64_t found;    /* situations so far, that level included */
    uint64_t before;   /* in complete levels */
    bool finished;     /* the last level brought nothing */
    uint64_t most_effort; /* stops when that is passed; 0: no limit */
    uint32_t told;     /* levels whose progress is known already */
    VEC(uint64_t) sizes; /* of complete levels */
};

/* cell: the n cells whose bits go into bitmaps, two values each; kind: of
 * the course of later scans. */
struct run *run_new(const struct slice *slice,
                    const struct explore_setting *setting,
                    const uint32_t *cell, uint32_t n,
                    enum course_kind kind);
void run_free(struct run *run);

/* Fills the next level; false: that was the last, or the run was stopped. */
bool run_level(struct run *run);

/* Between two levels: goes on with so many threads, if there are bytes and
 * threads for them. */
void run_spread(struct run *run, uint32_t threads);

/* Tiles reached. */
uint64_t run_tiles(const struct run *run);

/* About what the work so far cost: steps, larger ones counted as more, and
 * results worked out. */
uint64_t run_effort(const struct run *run);

/* Once there is no next level: what was found. */
void run_conclude(struct run *run);

#endif
