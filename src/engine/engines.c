#include "engine/engines.h"

#include <stdatomic.h>

#include "base/arena.h"
#include "base/thread.h"
#include "engine/sets/sets.h"
#include "engine/sets/shortest.h"
#include "engine/tiles/tiles.h"

/* The second engine is not begun for questions that are answered in less. */
enum { HEAD_START_MS = 60 };

/* Two engines under way. */
struct race {
    const struct slice *slice;
    const struct explore_setting *setting;
    struct arena *arena;     /* of the engine that runs beside */
    struct gate *gate;    /* opened when the first one is through */
    atomic_bool over;        /* somebody has an exact answer */
    const struct reach *beside;
    struct exploration *walk;
};

static bool is_exact(const struct reach *reach)
{
    return reach->end == EXPLORE_COMPLETE || reach->end == EXPLORE_SEEN;
}

static bool is_over(void *context)
{
    struct race *race = context;
    const struct explore_setting *setting = race->setting;

    return atomic_load(&race->over) ||
           (setting->interrupted &&
            setting->interrupted(setting->interrupted_context));
}

static const struct reach *ask_sets(struct arena *arena,
                                    const struct slice *slice,
                                    const struct explore_setting *setting)
{
    struct sets *sets = sets_explore(slice, setting);
    const struct reach *reach = reach_copy(arena, slice, sets_reach(sets));

    sets_free(sets);
    return reach;
}

static const struct reach *ask_tiles(struct arena *arena,
                                     const struct slice *slice,
                                     const struct explore_setting *setting)
{
    struct tiles *tiles = tiles_explore(slice, setting, TILES_AUTOMATIC);
    const struct reach *reach = reach_copy(arena, slice, tiles_reach(tiles));

    tiles_free(tiles);
    return reach;
}

/* ---- side by side ---- */

/* Two at once have half of the bytes and one thread each. */
static struct explore_setting in_race(struct race *race)
{
    struct explore_setting setting = *race->setting;

    setting.most_bytes = (setting.most_bytes + 1) / 2;
    setting.threads = 1;
    setting.interrupted = is_over;
    setting.interrupted_context = race;
    return setting;
}

/* The enumerating engine, in a thread of its own, after a head start. */
static void run_beside(void *context)
{
    struct race *race = context;
    struct explore_setting setting = in_race(race);
    const struct reach *reach;

    if (gate_wait(race->gate, HEAD_START_MS))
        return;
    setting.progress = NULL;
    reach = ask_tiles(race->arena, race->slice, &setting);
    if (is_exact(reach))
        atomic_store(&race->over, true);
    race->beside = reach;
}

static bool is_interrupted(const struct race *race)
{
    const struct explore_setting *setting = race->setting;

    return setting->interrupted &&
           setting->interrupted(setting->interrupted_context);
}

/* Where sets met a limit the other engine is asked to its end as well, so
 * that what is said does not hang on who was quicker.  What half of the bytes
 * did not do is tried with all of them, one engine after the other. */
static void settle(struct arena *arena, struct race *race,
                   struct engines_found *found)
{
    const struct reach *other = race->beside;

    if (!is_exact(found->reach) && race->setting->most_bytes &&
        !(other && is_exact(other)) && !is_interrupted(race)) {
        found->reach = ask_sets(arena, race->slice, race->setting);
        other = NULL;
    }
    if (is_exact(found->reach))
        return;
    if (other == NULL && found->reach->end != EXPLORE_INTERRUPTED)
        other = ask_tiles(race->arena, race->slice, race->setting);
    if (other == NULL ||
        (!is_exact(other) && other->levels < found->reach->levels))
        return;
    found->reach = reach_copy(arena, race->slice, other);
    found->by = ENGINE_TILES;
}

static struct engines_found run_race(struct arena *arena,
                                     const struct slice *slice,
                                     const struct explore_setting *setting)
{
    struct race race = {.slice = slice, .setting = setting,
                        .arena = arena_new(), .gate = gate_new()};
    struct explore_setting own = in_race(&race);
    struct thread *thread = thread_start(run_beside, &race);
    struct engines_found found = {.by = ENGINE_SETS};

    found.reach = ask_sets(arena, slice, &own);
    if (is_exact(found.reach))
        atomic_store(&race.over, true);
    gate_open(race.gate);
    thread_join(thread);
    settle(arena, &race, &found);
    gate_free(race.gate);
    arena_free(race.arena);
    return found;
}

/* ---- both ---- */

static struct engines_found run_both(struct arena *arena,
                                     const struct slice *slice,
                                     const struct explore_setting *setting)
{
    struct engines_found found = {
        .reach = ask_sets(arena, slice, setting), .by = ENGINE_SETS};
    const struct reach *other = ask_tiles(arena, slice, setting);

    if (!is_exact(found.reach) || !is_exact(other)) {
        if (is_exact(other)) {
            found.reach = other;
            found.by = ENGINE_TILES;
        }
        return found;
    }
    found.differ = reach_differ(slice, found.reach, other);
    return found;
}

struct engines_found engines_find(struct arena *arena,
                                  const struct slice *slice,
                                  const struct explore_setting *setting,
                                  enum engine engine)
{
    struct engines_found found = {.by = engine};

    switch (engine) {
    case ENGINE_FIRST:
        if (setting->most_effort == 0)
            return run_race(arena, slice, setting);
        found.by = ENGINE_SETS;
        found.reach = ask_sets(arena, slice, setting);
        break;
    case ENGINE_BOTH: return run_both(arena, slice, setting);
    case ENGINE_SETS: found.reach = ask_sets(arena, slice, setting); break;
    case ENGINE_TILES: found.reach = ask_tiles(arena, slice, setting); break;
    }
    return found;
}

/* ---- sequences ---- */

static const struct sequence *by_sets(const struct engines_wanted *wanted,
                                      const struct explore_setting *setting)
{
    struct sets *sets = sets_explore(wanted->slice, setting);
    enum explore_end end;
    const struct sequence *found =
        sets_sequence(wanted->arena, sets, wanted->goal, wanted->index, &end);

    sets_free(sets);
    return found;
}

/* Situation by situation, in a thread of its own, after a head start. */
static void walk_beside(void *context)
{
    struct race *race = context;
    struct explore_setting setting = in_race(race);

    if (gate_wait(race->gate, HEAD_START_MS))
        return;
    setting.progress = NULL;
    race->walk = explore(race->slice, &setting);
    if (exploration_end(race->walk) <= EXPLORE_SEEN)
        atomic_store(&race->over, true);
}

static const struct sequence *race_to_sequence(
    const struct engines_wanted *wanted, struct exploration **walked)
{
    struct race race = {.slice = wanted->slice, .setting = wanted->setting,
                        .gate = gate_new()};
    struct explore_setting own = in_race(&race);
    struct thread *thread = thread_start(walk_beside, &race);
    const struct sequence *found = by_sets(wanted, &own);

    if (found != NULL)
        atomic_store(&race.over, true);
    gate_open(race.gate);
    thread_join(thread);
    gate_free(race.gate);
    if (race.walk == NULL)
        return found;
    exploration_listen(race.walk, wanted->setting->interrupted,
                       wanted->setting->interrupted_context);
    if (found == NULL && (exploration_end(race.walk) <= EXPLORE_SEEN ||
                          exploration_spent(race.walk)))
        *walked = race.walk;
    else
        exploration_free(race.walk);
    return found;
}

const struct sequence *engines_sequence(const struct engines_wanted *wanted,
                                        enum engine engine,
                                        struct exploration **walked)
{
    *walked = NULL;
    switch (engine) {
    case ENGINE_FIRST: return race_to_sequence(wanted, walked);
    case ENGINE_SETS: case ENGINE_BOTH:
        return by_sets(wanted, wanted->setting);
    case ENGINE_TILES: break;
    }
    return NULL;
}

struct regain_found engines_regain(struct arena *arena,
                                   const struct slice *slice,
                                   const struct explore_setting *setting,
                                   const struct regain_asked *asked)
{
    struct sets *sets = sets_explore(slice, setting);
    struct regain_found found = sets_regain_way(arena, sets, asked);

    sets_free(sets);
    return found;
}
