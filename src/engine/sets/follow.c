#include "engine/sets/follow.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/kinds.h"
#include "engine/sets/levels.h"
#include "engine/sets/seen.h"

struct track {
    set at;   /* where it stands */
    set next; /* what it may come to */
};

struct follow {
    struct sets *sets;
    struct track *tracks;
    uint32_t n_tracks;
    set held, past, mark, gathered; /* while scans are run */
};

/* ---- scans ---- */

static void put(struct follow *f, set *place, set value)
{
    room_hold(f->sets->room, place, value);
}

static void put_scan(struct follow *f, const struct form *form, set from,
                     set *place)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set after = chain_apply(&f->sets->shop, form->image, from);

    put(f, place, room_trade(room, after, false));
    room_leave(room, mark, NULL, 0);
}

static void gather(struct follow *f, set more)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);

    put(f, &f->gathered, room_apply(room, ROOM_OR, f->gathered, more));
    room_leave(room, mark, NULL, 0);
}

/* Sets come again after some scans: so many, once that is known. */
struct round {
    uint64_t marked, wait, length;
};

static void notice_round(struct follow *f, struct round *round, uint64_t scan)
{
    if (round->length != 0)
        return;
    if (scan > round->marked && f->past == f->mark) {
        round->length = scan - round->marked;
        return;
    }
    if (scan - round->marked < round->wait)
        return;
    put(f, &f->mark, f->past);
    round->marked = scan;
    round->wait *= 2;
}

void follow_scans(struct follow *f, uint32_t track, uint64_t least,
                  uint64_t most, const struct observed *held)
{
    struct track *t = &f->tracks[track];
    struct room *room = f->sets->room;
    struct round round = {0, 1, 0};
    size_t mark = room_mark(room);
    set hold = held ? seen_agreeing(f->sets, SET_ALL, held, FLAT_NONE)
                    : SET_ALL;

    put(f, &f->past, t->at);
    put(f, &f->mark, t->at);
    put(f, &f->gathered, least == 0 ? t->at : SET_NONE);
    for (uint64_t scan = 1; scan <= most && f->past != SET_NONE &&
                            guard_passes(&f->sets->guard); scan++) {
        put_scan(f, f->sets->next, f->past, &f->held);
        if (scan >= least)
            gather(f, f->held);
        put(f, &f->past, room_apply(room, ROOM_AND, f->held, hold));
        notice_round(f, &round, scan);
        if (round.length == 0)
            continue;
        if (scan < least)
            scan += (least - 1 - scan) / round.length * round.length;
        if (most > scan && most - scan > 2 * round.length && scan >= least)
            most = scan + 2 * round.length;
    }
    put(f, &t->next, f->gathered);
    room_leave(room, mark, NULL, 0);
}

/* ---- tracks ---- */

bool follow_keep(struct follow *f, uint32_t track,
                 const struct observed *seen, uint32_t but)
{
    struct track *t = &f->tracks[track];
    size_t mark = room_mark(f->sets->room);

    put(f, &t->at, seen_agreeing(f->sets, t->next, seen, but));
    room_leave(f->sets->room, mark, NULL, 0);
    return guard_passes(&f->sets->guard) && t->at != SET_NONE;
}

bool follow_join(struct follow *f, uint32_t track, uint32_t from,
                 const struct observed *seen, uint32_t but)
{
    struct track *t = &f->tracks[track];
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set more = seen_agreeing(f->sets, f->tracks[from].next, seen, but);

    put(f, &t->at, room_apply(room, ROOM_OR, t->at, more));
    room_leave(room, mark, NULL, 0);
    return guard_passes(&f->sets->guard) && t->at != SET_NONE;
}

bool follow_could(struct follow *f, uint32_t track,
                  const struct observed *seen, uint32_t but,
                  enum follow_but how)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set left = seen_agreeing(f->sets, f->tracks[track].next, seen, but);

    if (but != FLAT_NONE && how == FOLLOW_OTHER)
        left = room_apply(room, ROOM_WITHOUT, left,
                          seen_showing(f->sets, seen, but, seen->value[but]));
    room_leave(room, mark, NULL, 0);
    return left != SET_NONE;
}

bool follow_stands(struct follow *f, uint32_t track, uint32_t cell,
                   int64_t value)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set met = room_apply(room, ROOM_AND, f->tracks[track].at,
                         seen_having(f->sets, cell, value));

    room_leave(room, mark, NULL, 0);
    return met != SET_NONE;
}

bool follow_comes(struct follow *f, uint32_t track,
                  const struct observed *seen, uint32_t which,
                  int64_t value)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set met = room_apply(room, ROOM_AND, f->tracks[track].next,
                         seen_showing(f->sets, seen, which, value));

    room_leave(room, mark, NULL, 0);
    return met != SET_NONE;
}

/* ---- a run ---- */

enum explore_end follow_end(struct follow *f)
{
    guard_passes(&f->sets->guard);
    return f->sets->guard.end;
}

struct follow *follow_open(const struct slice *slice,
                           const struct explore_setting *setting,
                           uint32_t n_tracks, bool anywhere)
{
    struct sets *sets = anywhere ? kinds_begin(slice, setting)
                                 : levels_begin(slice, setting, SCHEME_APART);
    struct follow *f = ARENA_NEW(sets->arena, struct follow);

    f->sets = sets;
    f->n_tracks = n_tracks;
    f->tracks = arena_array(sets->arena, n_tracks, sizeof *f->tracks);
    if (anywhere)
        levels_go_on(sets, UINT32_MAX, UINT64_MAX);
    if (!levels_forms(sets))
        return f;
    if (anywhere)
        put(f, &f->tracks[0].next, sets->reached);
    else
        put_scan(f, sets->first, SET_ALL, &f->tracks[0].next);
    for (uint32_t i = 1; i < n_tracks; i++)
        put(f, &f->tracks[i].next, f->tracks[0].next);
    guard_passes(&sets->guard);
    return f;
}

void follow_close(struct follow *f)
{
    if (f)
        levels_free(f->sets);
}
