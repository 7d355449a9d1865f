#include "engine/sets/follow.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/kinds.h"
#include "engine/sets/levels.h"

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

/* ---- what was seen, as a set ---- */

/* The situations in which a cell has the value; held by the scope. */
static set having(struct follow *f, uint32_t cell, int64_t value)
{
    const struct slice_cell *of = &f->sets->slice->cells[cell];
    const struct field *field = &f->sets->scheme->cells[cell];
    struct room *room = f->sets->room;
    uint64_t units;
    set made = SET_ALL;

    if (value < of->low || value > of->high)
        return SET_NONE;
    units = (uint64_t)value - (uint64_t)of->low;
    if (units % (uint64_t)of->unit != 0)
        return SET_NONE;
    units /= (uint64_t)of->unit;
    for (uint32_t k = field->n; k-- > 0;) {
        set bit = room_variable(room, field->variable[k]);

        made = room_apply(room, units >> k & 1 ? ROOM_AND : ROOM_WITHOUT,
                          made, bit);
    }
    return made;
}

/* The same of number `which` of what was seen. */
static set showing(struct follow *f, const struct follow_seen *seen,
                   uint32_t which, int64_t value)
{
    if (seen->cell[which] == FLAT_NONE)
        return value == seen->fixed[which] ? SET_ALL : SET_NONE;
    return having(f, seen->cell[which], value);
}

/* Those of a set that agree with all that was seen but number `but`. */
static set agreeing(struct follow *f, set from,
                    const struct follow_seen *seen, uint32_t but)
{
    struct room *room = f->sets->room;

    for (uint32_t i = 0; i < seen->n && from != SET_NONE; i++)
        if (seen->given[i] && i != but)
            from = room_apply(room, ROOM_AND, from,
                              showing(f, seen, i, seen->value[i]));
    return from;
}

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
                  uint64_t most, const struct follow_seen *held)
{
    struct track *t = &f->tracks[track];
    struct room *room = f->sets->room;
    struct round round = {0, 1, 0};
    size_t mark = room_mark(room);
    set hold = held ? agreeing(f, SET_ALL, held, FLAT_NONE) : SET_ALL;

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
                 const struct follow_seen *seen, uint32_t but)
{
    struct track *t = &f->tracks[track];
    size_t mark = room_mark(f->sets->room);

    put(f, &t->at, agreeing(f, t->next, seen, but));
    room_leave(f->sets->room, mark, NULL, 0);
    return guard_passes(&f->sets->guard) && t->at != SET_NONE;
}

bool follow_join(struct follow *f, uint32_t track, uint32_t from,
                 const struct follow_seen *seen, uint32_t but)
{
    struct track *t = &f->tracks[track];
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set more = agreeing(f, f->tracks[from].next, seen, but);

    put(f, &t->at, room_apply(room, ROOM_OR, t->at, more));
    room_leave(room, mark, NULL, 0);
    return guard_passes(&f->sets->guard) && t->at != SET_NONE;
}

bool follow_could(struct follow *f, uint32_t track,
                  const struct follow_seen *seen, uint32_t but,
                  enum follow_but how)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set left = agreeing(f, f->tracks[track].next, seen, but);

    if (but != FLAT_NONE && how == FOLLOW_OTHER)
        left = room_apply(room, ROOM_WITHOUT, left,
                          showing(f, seen, but, seen->value[but]));
    room_leave(room, mark, NULL, 0);
    return left != SET_NONE;
}

bool follow_stands(struct follow *f, uint32_t track, uint32_t cell,
                   int64_t value)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set met = room_apply(room, ROOM_AND, f->tracks[track].at,
                         having(f, cell, value));

    room_leave(room, mark, NULL, 0);
    return met != SET_NONE;
}

bool follow_comes(struct follow *f, uint32_t track,
                  const struct follow_seen *seen, uint32_t which,
                  int64_t value)
{
    struct room *room = f->sets->room;
    size_t mark = room_mark(room);
    set met = room_apply(room, ROOM_AND, f->tracks[track].next,
                         showing(f, seen, which, value));

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
