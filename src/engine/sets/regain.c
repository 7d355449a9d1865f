#include "engine/sets/regain.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/astray.h"
#include "engine/sets/blind.h"
#include "engine/sets/run.h"
#include "engine/sets/scheme.h"
#include "logic/slice.h"

struct quest {
    struct sets *sets;
    const struct regain_asked *asked;
    bool *before, *after; /* per variable */
};

/* A scan of one form in which the watch `holds` holds and `fails` does not
 * (FLAT_NONE: whatever), as a chain towards one side. */
static const struct chain *scan_where(struct quest *q, bool first,
                                      const uint32_t *fixed,
                                      const struct form_where *where,
                                      const bool *away)
{
    struct sets *s = q->sets;
    const struct blast_form what = {s->slice, s->scheme, fixed, first};

    return relation_chain(&s->shop, form_step(&s->shop, &what, where), away);
}

/* Ways from what is not known yet into what is new. */
static set to_look_at(struct sets *s, set can, set fresh)
{
    set open = room_apply(s->room, ROOM_WITHOUT, s->reached, can);

    return room_apply(s->room, ROOM_AND, open,
                      room_trade(s->room, fresh, true));
}

/* From where the goal can be brought about; held by the caller's scope.  A
 * situation is looked at again whenever something that it leads to is new. */
static set can_be_brought_about(struct quest *q)
{
    struct sets *s = q->sets;
    const uint32_t *fixed = q->asked->fixed ? q->asked->fixed
                                            : s->setting.fixed_next;
    const struct form_where goal = {q->asked->goal, FLAT_NONE, FLAT_NONE};
    const struct form_where on = {q->asked->asked, FLAT_NONE, FLAT_NONE};
    const struct chain *reach = scan_where(q, false, fixed, &goal, q->after);
    const struct chain *back = scan_where(q, false, fixed, &on, q->after);
    const struct blind *blind =
        q->asked->side ? blind_new(s, q->asked, fixed) : NULL;
    set can = SET_NONE, fresh = chain_apply(&s->shop, reach, s->reached);

    while (guard_passes(&s->guard) && fresh != SET_NONE) {
        size_t mark = room_mark(s->room);
        set kept[2];

        if (blind)
            fresh = blind_choose(blind, fresh, can);
        kept[1] = room_apply(s->room, ROOM_OR, can, fresh);
        kept[0] = chain_apply(&s->shop, back, to_look_at(s, kept[1], fresh));
        room_leave(s->room, mark, kept, 2);
        fresh = kept[0];
        can = kept[1];
    }
    return can;
}

/* Does a scan lead out of what `can` holds, where it is asked? */
static bool leads_out(struct quest *q, bool first, set from, set can)
{
    struct sets *s = q->sets;
    const uint32_t *fixed = first ? s->setting.fixed_first
                                  : s->setting.fixed_next;
    const struct form_where where = {
        q->asked->asked,
        q->asked->asked == FLAT_NONE ? q->asked->goal : FLAT_NONE,
        FLAT_NONE};
    const struct chain *image = scan_where(q, first, fixed, &where,
                                           q->before);
    set to = room_trade(s->room, chain_apply(&s->shop, image, from), false);

    return guard_passes(&s->guard) &&
           room_apply(s->room, ROOM_WITHOUT, to, can) != SET_NONE;
}

/* Sets that are given back are held by the caller's scope. */
static bool answer(struct quest *q, set *can)
{
    struct sets *s = q->sets;

    *can = can_be_brought_about(q);
    if (leads_out(q, true, SET_ALL, *can))
        return false;
    return q->asked->asked == FLAT_NONE ||
           !leads_out(q, false, s->reached, *can);
}

struct regain_found sets_regain_way(struct arena *arena, struct sets *s,
                                    const struct regain_asked *asked)
{
    struct quest q = {.sets = s, .asked = asked};
    struct regain_found found = {REGAIN_LOST, NULL};
    size_t mark;
    set can;
    bool always;

    if (s->reach.end != EXPLORE_COMPLETE || sets_lost(s))
        return found;
    s->shop.scratch = arena_new();
    mark = room_mark(s->room);
    q.before = form_variables(s->shop.scratch, s->scheme, false);
    q.after = form_variables(s->shop.scratch, s->scheme, true);
    always = answer(&q, &can);
    if (guard_passes(&s->guard)) {
        found.regain = always ? REGAIN_ALWAYS : REGAIN_NOT;
        if (!always && arena)
            found.astray = astray_find(arena, s, asked, can);
    }
    room_leave(s->room, mark, NULL, 0);
    arena_free(s->shop.scratch);
    s->shop.scratch = NULL;
    return found;
}

enum regain sets_regain(struct sets *s, const struct regain_asked *asked)
{
    return sets_regain_way(NULL, s, asked).regain;
}
