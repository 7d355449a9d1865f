#include "engine/sets/astray.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/edges.h"
#include "engine/sets/path.h"
#include "engine/sets/scheme.h"
#include "logic/slice.h"

/* Situations by the judging after which they stand, those of the trap first. */
struct layer {
    set trapped, others;
};

struct astray {
    struct arena *arena; /* of the result */
    struct sets *sets;
    const struct regain_asked *asked;
    set trap;             /* reached, and it cannot be brought about */
    const struct relation *next; /* later scans in which it is asked */
    struct layer *layers; /* from the first level on */
    uint32_t n;
    uint32_t length;      /* scans of the way */
    VEC(bool) into;       /* per situation listed: it belongs to the trap */
    bool trapped;         /* those being listed do */
    explore_taker *take;
    void *taker;
};

static set meet(const struct astray *a, set x, set y)
{
    return room_apply(a->sets->room, ROOM_AND, x, y);
}

static set without(const struct astray *a, set x, set y)
{
    return room_apply(a->sets->room, ROOM_WITHOUT, x, y);
}

/* ---- handing situations over ---- */

static bool take_one(void *context, const int64_t *cells)
{
    struct astray *a = context;

    vec_push(&a->into, a->trapped);
    return a->take(a->taker, cells);
}

static void list(void *context, uint32_t level, explore_taker *take,
                 void *taker)
{
    struct astray *a = context;
    const struct layer *layer = &a->layers[level - 1];

    a->take = take;
    a->taker = taker;
    a->trapped = true;
    path_list(a->sets, layer->trapped, take_one, a);
    a->trapped = false;
    path_list(a->sets, layer->others, take_one, a);
}

static struct exploration *known(struct astray *a)
{
    const struct explore_known known = {list, a, a->n + 1};

    return explore_known(a->sets->slice, &a->sets->setting, &known);
}

/* ---- after every first scan ---- */

struct first_scan {
    struct astray *astray;
    const uint32_t *row;
};

static bool look(void *context, const struct edge *edge)
{
    struct first_scan *first = context;
    const struct astray *a = first->astray;
    const struct slice *slice = a->sets->slice;
    uint32_t *row;

    if (edge->to >= a->into.n || edge->watch[a->asked->goal])
        return true;
    row = arena_array(a->arena, slice->n_choices + 1, sizeof *row);
    for (uint32_t i = 0; i < slice->n_choices; i++)
        row[i] = edge->choice[i] != FLAT_NONE ? edge->choice[i]
                                              : slice->choices[i].rest;
    first->row = row;
    return false;
}

static const struct sequence *first_that_fails(struct astray *a)
{
    struct first_scan first = {a, NULL};
    struct sequence *made;
    struct exploration *x;

    a->n = 1;
    a->layers = arena_array(a->sets->shop.scratch, 1, sizeof *a->layers);
    a->layers[0].trapped = meet(a, a->sets->levels.at[0], a->trap);
    if (!guard_passes(&a->sets->guard))
        return NULL;
    x = known(a);
    if (exploration_end(x) == EXPLORE_COMPLETE) {
        edges_from(x, UINT64_MAX, look, &first);
        ENSURE(first.row);
    }
    exploration_free(x);
    if (!first.row)
        return NULL;
    made = ARENA_NEW(a->arena, struct sequence);
    made->length = 1;
    made->n_choices = a->sets->slice->n_choices;
    made->choices = first.row;
    return made;
}

/* ---- wherever it is asked ---- */

/* A scan in which it is asked. */
static const struct relation *scan(struct astray *a, bool first)
{
    struct sets *s = a->sets;
    const struct blast_form what = {
        s->slice, s->scheme,
        first ? s->setting.fixed_first : s->setting.fixed_next, first};
    const struct form_where where = {a->asked->asked, FLAT_NONE, FLAT_NONE};

    return form_step(&s->shop, &what, &where);
}

/* A scan as a chain towards one side. */
static const struct chain *towards(struct astray *a,
                                   const struct relation *scan, bool after)
{
    struct sets *s = a->sets;

    return relation_chain(
        &s->shop, scan,
        form_variables(s->shop.scratch, s->scheme, !after));
}

/* Where such a scan leads to in the trap. */
static set trapped_after(struct astray *a, const struct relation *scan,
                         set from)
{
    struct sets *s = a->sets;
    set after = chain_apply(&s->shop, towards(a, scan, true), from);

    return meet(a, room_trade(s->room, after, false), a->trap);
}

/* The situations of the first level from where such a scan leads into the
 * trap; sets the length of the way. */
static set nearest(struct astray *a)
{
    struct sets *s = a->sets;
    const struct chain *back = towards(a, a->next, false);
    set trap = room_trade(s->room, a->trap, true);

    for (uint32_t level = 1; level <= s->levels.n; level++) {
        size_t mark = room_mark(s->room);
        set here = meet(a, s->levels.at[level - 1], trap);

        here = chain_apply(&s->shop, back, here);
        room_leave(s->room, mark, &here, 1);
        a->length = level + 1;
        if (!guard_passes(&s->guard) || here != SET_NONE)
            return here;
    }
    return SET_NONE;
}

/* The last layer holds what the last scan leads to and no layer before it
 * holds; false: the guard did not pass. */
static bool make_layers(struct astray *a, const set *at, set last)
{
    for (uint32_t i = 0; i + 1 < a->length; i++) {
        a->layers[i].trapped = meet(a, at[i], a->trap);
        a->layers[i].others = without(a, at[i], a->trap);
        last = without(a, last, at[i]);
    }
    a->layers[a->length - 1].trapped = last;
    return guard_passes(&a->sets->guard);
}

/* False: the guard did not pass. */
static bool find_way(struct astray *a)
{
    struct sets *s = a->sets;
    set last = trapped_after(a, scan(a, true), SET_ALL), from;
    const set *at = NULL;

    a->length = 1;
    if (guard_passes(&s->guard) && last == SET_NONE) {
        a->next = scan(a, false);
        from = nearest(a);
        if (!guard_passes(&s->guard))
            return false;
        ENSURE(from != SET_NONE);
        at = path_back(s, a->length, from);
        last = trapped_after(a, a->next, from);
    }
    if (!guard_passes(&s->guard))
        return false;
    a->n = a->length;
    a->layers = arena_array(s->shop.scratch, a->n, sizeof *a->layers);
    return make_layers(a, at, last);
}

/* Why this is the sequence of the whole exploration: as in shortest.c, with
 * "leads, where it is asked, into the trap" for what is looked for.  A scan
 * out of the last but one layer that does so leads into a situation that is
 * listed, in whichever layer; one that leads to a situation not listed does
 * not.  What is listed as the last layer is never begun from. */
static const struct sequence *way_into(struct astray *a)
{
    const struct sequence *found = NULL;
    struct exploration *x;

    if (!find_way(a))
        return NULL;
    x = known(a);
    if (exploration_end(x) == EXPLORE_COMPLETE)
        found = sequence_into(a->arena, x, a->asked->asked, a->into.at,
                              a->length);
    exploration_free(x);
    return found;
}

const struct sequence *astray_find(struct arena *arena, struct sets *s,
                                   const struct regain_asked *asked, set can)
{
    struct astray a = {.arena = arena, .sets = s, .asked = asked};
    size_t mark = room_mark(s->room);
    struct arena *outer = s->shop.scratch;
    const struct sequence *found;

    s->shop.scratch = arena_new();
    a.trap = without(&a, s->reached, can);
    found = asked->asked == FLAT_NONE ? first_that_fails(&a) : way_into(&a);
    vec_release(&a.into);
    room_leave(s->room, mark, NULL, 0);
    arena_free(s->shop.scratch);
    s->shop.scratch = outer;
    return found;
}
