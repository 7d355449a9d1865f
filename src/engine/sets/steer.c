#include "engine/sets/steer.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/kinds.h"
#include "engine/sets/levels.h"
#include "engine/sets/seen.h"

struct steer {
    struct sets *sets;
    const uint32_t *passing;
    uint32_t n_passing;
    set forget;          /* AND of the variables of the passing cells */
    VEC(set) places;
    VEC(uint32_t) slots; /* 1 + place by its set, 0: free */
    set now, gathered;   /* while scans are run */
};

/* ---- places ---- */

static uint32_t *slot_of(struct steer *s, set at)
{
    uint32_t mask = (uint32_t)s->slots.n - 1;
    uint32_t i = (uint32_t)at * 2654435761u & mask;

    while (s->slots.at[i] != 0 && s->places.at[s->slots.at[i] - 1] != at)
        i = (i + 1) & mask;
    return &s->slots.at[i];
}

static void make_slots(struct steer *s, size_t n)
{
    vec_reserve(&s->slots, n);
    s->slots.n = n;
    memset(s->slots.at, 0, n * sizeof *s->slots.at);
    for (uint32_t i = 0; i < s->places.n; i++)
        *slot_of(s, s->places.at[i]) = i + 1;
}

static uint32_t place_of(struct steer *s, set at)
{
    uint32_t *slot = slot_of(s, at);
    set held = SET_NONE;

    if (*slot != 0)
        return *slot - 1;
    room_hold(s->sets->room, &held, at);
    vec_push(&s->places, held);
    *slot = (uint32_t)s->places.n;
    if (s->places.n * 2 > s->slots.n)
        make_slots(s, s->slots.n * 2);
    return (uint32_t)s->places.n - 1;
}

/* The place of a set that the scope holds; the scope ends. */
static uint32_t settle(struct steer *s, size_t mark, set at)
{
    uint32_t place =
        place_of(s, room_and_open(s->sets->room, at, SET_ALL, s->forget));

    room_leave(s->sets->room, mark, NULL, 0);
    return place;
}

uint32_t steer_keep(struct steer *s, uint32_t place,
                    const struct observed *seen)
{
    size_t mark = room_mark(s->sets->room);

    return settle(s, mark, seen_agreeing(s->sets, s->places.at[place], seen,
                                         FLAT_NONE));
}

uint32_t steer_join(struct steer *s, uint32_t a, uint32_t b)
{
    struct room *room = s->sets->room;
    size_t mark = room_mark(room);

    return settle(s, mark, room_apply(room, ROOM_OR, s->places.at[a],
                                      s->places.at[b]));
}

uint32_t steer_nowhere(struct steer *s)
{
    return place_of(s, SET_NONE);
}

bool steer_is_empty(const struct steer *s, uint32_t place)
{
    return s->places.at[place] == SET_NONE;
}

static bool meets(struct steer *s, set at, uint32_t cell, int64_t value)
{
    struct room *room = s->sets->room;
    size_t mark = room_mark(room);
    set met = room_apply(room, ROOM_AND, at,
                         seen_having(s->sets, cell, value));

    room_leave(room, mark, NULL, 0);
    return met != SET_NONE;
}

bool steer_can(struct steer *s, uint32_t place, uint32_t cell, int64_t value)
{
    return meets(s, s->places.at[place], cell, value);
}

/* ---- scans ---- */

static void note_happened(struct steer *s, bool *happened)
{
    for (uint32_t i = 0; i < s->n_passing; i++)
        if (!happened[i] && s->passing[i] != FLAT_NONE)
            happened[i] = !meets(s, s->now, s->passing[i], 0);
}

/* False: nothing changes any more. */
static bool one_scan(struct steer *s, const struct observed *held)
{
    struct room *room = s->sets->room;
    size_t mark = room_mark(room);
    set before = s->now;
    set after = room_trade(room, chain_apply(&s->sets->shop,
                                             s->sets->next->image, before),
                           false);
    bool changed;

    after = seen_agreeing(s->sets, after, held, FLAT_NONE);
    changed = after != before;
    room_hold(room, &s->now, after);
    room_leave(room, mark, NULL, 0);
    return changed;
}

/* False: nothing was added, so no later scan adds anything either, if all
 * scans since the first one gathered were. */
static bool gather(struct steer *s)
{
    struct room *room = s->sets->room;
    size_t mark = room_mark(room);
    set more = room_apply(room, ROOM_OR, s->gathered, s->now);
    bool grows = more != s->gathered;

    room_hold(room, &s->gathered, more);
    room_leave(room, mark, NULL, 0);
    return grows;
}

uint32_t steer_scans(struct steer *s, uint32_t place,
                     const struct steer_scans *scans)
{
    struct room *room = s->sets->room;
    bool changes = true;

    room_hold(room, &s->now, s->places.at[place]);
    room_hold(room, &s->gathered, scans->least == 0 ? s->now : SET_NONE);
    for (uint64_t scan = 1; scan <= scans->most && changes &&
                            s->now != SET_NONE &&
                            guard_passes(&s->sets->guard); scan++) {
        changes = one_scan(s, scans->held);
        if (scans->happened != NULL && scan <= scans->least &&
            s->now != SET_NONE)
            note_happened(s, scans->happened);
        if (scan >= scans->least || !changes)
            changes = gather(s) && changes;
    }
    return settle(s, room_mark(room), s->gathered);
}

/* ---- a run ---- */

enum explore_end steer_end(struct steer *s)
{
    guard_passes(&s->sets->guard);
    return s->sets->guard.end;
}

static void make_forget(struct steer *s)
{
    struct room *room = s->sets->room;
    size_t mark = room_mark(room);
    set all = SET_ALL;

    for (uint32_t i = 0; i < s->n_passing; i++) {
        const struct field *field;

        if (s->passing[i] == FLAT_NONE)
            continue;
        field = &s->sets->scheme->cells[s->passing[i]];
        for (uint32_t k = 0; k < field->n; k++)
            all = room_apply(room, ROOM_AND, all,
                             room_variable(room, field->variable[k]));
    }
    room_hold(room, &s->forget, all);
    room_leave(room, mark, NULL, 0);
}

struct steer *steer_open(const struct slice *slice,
                         const struct explore_setting *setting,
                         const uint32_t *passing, uint32_t n_passing)
{
    struct sets *sets = kinds_begin(slice, setting);
    struct steer *s = ARENA_NEW(sets->arena, struct steer);

    s->sets = sets;
    s->passing = passing;
    s->n_passing = n_passing;
    levels_go_on(sets, UINT32_MAX, UINT64_MAX);
    make_slots(s, 1024);
    if (!levels_forms(sets))
        return s;
    make_forget(s);
    settle(s, room_mark(sets->room), sets->reached);
    return s;
}

void steer_close(struct steer *s)
{
    if (s == NULL)
        return;
    vec_release(&s->places);
    vec_release(&s->slots);
    levels_free(s->sets);
}
