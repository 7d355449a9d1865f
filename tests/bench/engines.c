#include "tests/bench/engines.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "engine/explore.h"
#include "engine/reach.h"
#include "engine/sets/sets.h"
#include "engine/tiles/tiles.h"
#include "tests/bench/clock.h"
#include "tests/bench/found.h"

static const bool the_one[] = {true};

static struct explore_setting setting_of(const struct engine_task *task)
{
    return (struct explore_setting){
        .most_situations = task->most_situations,
        .interrupted = clock_over,
        .until = task->until ? the_one : NULL,
    };
}

static void begin(const struct engine_task *task, struct found *found)
{
    memset(found, 0, sizeof *found);
    clock_limit(task->most_seconds);
    found->seconds = -clock_processor();
}

static void take_level(struct found *found, double size)
{
    if (found->levels < FOUND_LEVELS)
        found->level_size[found->levels] = size;
    found->expanded = found->situations; /* all but the last level */
    found->situations += size;
    found->levels++;
}

/* ---- the concrete engine ---- */

static void take_exploration(const struct exploration *x, struct found *found)
{
    for (uint32_t i = 1; i <= exploration_levels(x); i++)
        take_level(found, (double)exploration_level_size(x, i));
    found->complete = exploration_end(x) == EXPLORE_COMPLETE;
    found->watch_level = exploration_watch_level(x, 0);
    found->bytes = exploration_bytes(x);
    if (!found->complete && exploration_situations(x) > found->situations)
        found->situations = (double)exploration_situations(x);
    snprintf(found->count, sizeof found->count, "%.0f", found->situations);
}

static void run_concrete(const struct engine_task *task, struct found *found)
{
    const struct explore_setting setting = setting_of(task);
    struct exploration *x;

    begin(task, found);
    x = explore(task->slice, &setting);
    found->seconds += clock_processor();
    take_exploration(x, found);
    exploration_free(x);
}

/* ---- engines that give back a struct reach ---- */

static void take_reach(const struct reach *reach, struct found *found)
{
    for (uint32_t i = 0; i < reach->levels; i++)
        take_level(found, (double)reach->level_size[i]);
    found->complete = reach->end == EXPLORE_COMPLETE;
    found->watch_level = reach->watch_level[0];
    found->bytes = reach->bytes;
    snprintf(found->count, sizeof found->count, "%s", reach->count);
    found->situations = strtod(found->count, NULL);
}

#define RUN_REACH(name, begin_run, reach_of, free_of)                      \
    static void name(const struct engine_task *task, struct found *found)  \
    {                                                                      \
        const struct explore_setting setting = setting_of(task);           \
                                                                           \
        begin(task, found);                                                \
        void *run = begin_run;                                             \
        found->seconds += clock_processor();                               \
        take_reach(reach_of(run), found);                                  \
        free_of(run);                                                      \
    }

RUN_REACH(run_sets, sets_explore(task->slice, &setting), sets_reach,
          sets_free)

RUN_REACH(run_tiles, tiles_explore(task->slice, &setting, TILES_AUTOMATIC),
          tiles_reach, tiles_free)
RUN_REACH(run_plain, tiles_explore(task->slice, &setting, 0), tiles_reach,
          tiles_free)

static const struct engine engines[] = {
    {"concrete", false, run_concrete},
    {"sets", true, run_sets},
    {"tiles", false, run_tiles},
    {"plain", false, run_plain},
};

const struct engine *engine_at(uint32_t i)
{
    return i < sizeof engines / sizeof *engines ? &engines[i] : NULL;
}

const struct engine *engine_find(const char *name)
{
    const struct engine *engine;

    for (uint32_t i = 0; (engine = engine_at(i)) != NULL; i++)
        if (!strcmp(engine->name, name))
            return engine;
    return NULL;
}
