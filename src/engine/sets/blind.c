#include "engine/sets/blind.h"

#include "base/arena.h"
#include "engine/sets/run.h"
#include "engine/sets/scheme.h"
#include "logic/slice.h"

/* Of a scan, written over situation and choices that are not left open:
 * where it can find the goal, where it leads on into a set given after the
 * scan. */
struct hope {
    const struct chain *found, *on;
};

struct blind {
    struct sets *sets;
    const enum regain_side *side;
    struct hope any;           /* over our choices */
    struct hope each;          /* over ours and those of others */
    const struct chain *lost;  /* over ours: asked, no goal, leads into a set
                                  given after the scan */
    const struct chain *ended; /* over ours: in an error */
    const struct chain *left;  /* over ours and those of others: where what
                                  is asked ends; NULL: never */
    set ours, others;          /* variables */
};

static bool is_not_ours(const void *side, uint32_t row)
{
    return ((const enum regain_side *)side)[row] != REGAIN_OURS;
}

static bool is_shared(const void *side, uint32_t row)
{
    return ((const enum regain_side *)side)[row] == REGAIN_SHARED;
}

/* ---- what is asked of a scan ---- */

static const struct chain *scan(struct workshop *shop,
                                const struct blast_form *what,
                                const struct form_where *where)
{
    return relation_chain(shop, form_step(shop, what, where),
                          form_variables(shop->scratch, what->scheme, true));
}

static struct hope hope_of(struct workshop *shop,
                           const struct blast_form *what,
                           const struct regain_asked *asked)
{
    const struct form_where goal = {asked->goal, FLAT_NONE, FLAT_NONE};
    const struct form_where on = {asked->asked, FLAT_NONE, FLAT_NONE};
    struct hope made;

    made.found = scan(shop, what, &goal);
    made.on = scan(shop, what, &on);
    return made;
}

static set variables_of(struct sets *s, const enum regain_side *side,
                        enum regain_side whose)
{
    uint32_t n = s->scheme->n_variables;
    bool *which = arena_array(s->shop.scratch, n, sizeof *which);

    for (uint32_t v = 0; v < n; v++) {
        uint32_t row = s->shop.group[v];

        which[v] = row != UINT32_MAX && side[row] == whose;
    }
    return workshop_away(&s->shop, which);
}

struct blind *blind_new(struct sets *s, const struct regain_asked *asked,
                        const uint32_t *fixed)
{
    const struct blast_form what = {s->slice, s->scheme, fixed, false};
    const struct form_where lost = {asked->asked, asked->goal, FLAT_NONE};
    const struct form_where left = {FLAT_NONE, asked->goal, asked->asked};
    struct workshop ours = form_narrowed(&s->shop, is_not_ours, asked->side);
    struct workshop each = form_narrowed(&s->shop, is_shared, asked->side);
    struct blind *made = ARENA_NEW(s->arena, struct blind);

    made->sets = s;
    made->side = asked->side;
    made->any = hope_of(&ours, &what, asked);
    made->lost = scan(&ours, &what, &lost);
    made->ended = relation_chain(&ours, form_ended(&ours, &what), NULL);
    made->ours = variables_of(s, asked->side, REGAIN_OURS);
    made->others = variables_of(s, asked->side, REGAIN_OTHERS);
    if (asked->asked == FLAT_NONE)
        return made;
    made->each = hope_of(&each, &what, asked);
    made->left = scan(&each, &what, &left);
    return made;
}

/* ---- choosing ---- */

static set both(const struct blind *b, enum room_operation operation, set x,
                set y)
{
    return room_apply(b->sets->room, operation, x, y);
}

/* Where a scan finds the goal or leads into `after`. */
static set hopeful(const struct blind *b, const struct hope *hope, set from,
                   set after)
{
    struct workshop *shop = &b->sets->shop;

    return both(b, ROOM_OR, chain_apply(shop, hope->found, from),
                chain_apply(shop, hope->on,
                            both(b, ROOM_AND, from, after)));
}

/* Of situations and our choices, those where with one and the same choice of
 * the others a shared value makes the difference between what is good and
 * the end of what is asked. */
static set undecided(const struct blind *b, set from, set after)
{
    struct room *room = b->sets->room;
    set left;

    if (!b->left)
        return SET_NONE;
    left = chain_apply(&b->sets->shop, b->left, from);
    if (left == SET_NONE)
        return SET_NONE;
    return room_and_open(room, left, hopeful(b, &b->each, from, after),
                         b->others);
}

set blind_choose(const struct blind *b, set from, set can)
{
    struct workshop *shop = &b->sets->shop;
    struct room *room = b->sets->room;
    size_t mark = room_mark(room);
    set after = room_trade(room, can, true);
    set outside = both(b, ROOM_WITHOUT, from, after);
    set good = hopeful(b, &b->any, from, after);

    good = both(b, ROOM_WITHOUT, good, chain_apply(shop, b->lost, outside));
    good = both(b, ROOM_WITHOUT, good, chain_apply(shop, b->ended, from));
    good = both(b, ROOM_WITHOUT, good, undecided(b, good, after));
    good = room_and_open(room, good, SET_ALL, b->ours);
    room_leave(room, mark, &good, 1);
    return good;
}
