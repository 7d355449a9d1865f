#include "engine/sets/sets.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/count.h"
#include "engine/sets/scheme.h"
#include "engine/sets/run.h"
#include "engine/sets/spread.h"
#include "logic/slice.h"

/* ---- forms ---- */

/* A form of the slice; the guard has ended when that cannot be had. */
static const struct form *run_form(struct sets *s, bool first)
{
    const struct blast_form what = {
        s->slice, s->scheme,
        first ? s->setting.fixed_first : s->setting.fixed_next, first};
    const struct form *made;

    s->shop.scratch = arena_new();
    made = form_new(&s->shop, &what);
    arena_free(s->shop.scratch);
    s->shop.scratch = NULL;
    return made;
}

/* ---- one judging ---- */

static bool can(struct sets *s, const struct chain *question, set from)
{
    size_t mark = room_mark(s->room);
    bool found =
        question && chain_apply(&s->shop, question, from) != SET_NONE;

    room_leave(s->room, mark, NULL, 0);
    return found;
}

static void look(struct sets *s, const struct form *form, set from,
                 uint32_t level)
{
    for (uint32_t i = 0; i < s->slice->n_watches; i++)
        if (!s->watch_level[i] && can(s, form->watches[i], from))
            s->watch_level[i] = level;
    for (uint32_t i = 0; i < s->slice->n_ends; i++)
        if (!s->end_level[i] && can(s, form->ends[i], from))
            s->end_level[i] = level;
    for (uint32_t i = 0;
         i < form->n_dead && s->reach.dead_end == FLAT_NONE; i++)
        if (can(s, form->dead[i], from))
            s->reach.dead_end = level - 1;
    if (!s->reach.reduced)
        s->reach.reduced = can(s, form->misfit, from);
}

static bool all_seen(const struct sets *s)
{
    bool any = false;

    for (uint32_t i = 0; s->setting.until && i < s->slice->n_watches; i++) {
        if (s->setting.until[i] && !s->watch_level[i])
            return false;
        any |= s->setting.until[i];
    }
    return any;
}

/* Keeps what is new of the situations after a judging; false: nothing is, or
 * the run has ended. */
static bool keep_new(struct sets *s, set after)
{
    uint64_t most = s->setting.most_situations, size;
    set fresh, kept = SET_NONE;

    fresh = room_apply(s->room, ROOM_WITHOUT, after, s->reached);
    if (!guard_passes(&s->guard) || fresh == SET_NONE)
        return false;
    size = counter_measure(s->counter, fresh);
    if (most && counter_exceeds(s->counter, most)) {
        s->guard.end = EXPLORE_SITUATIONS;
        return false;
    }
    room_hold(s->room, &s->reached,
              room_apply(s->room, ROOM_OR, s->reached, fresh));
    if (!guard_passes(&s->guard))
        return false;
    counter_add(s->counter);
    room_hold(s->room, &kept, fresh);
    vec_push(&s->levels, kept);
    vec_push(&s->sizes, size);
    return true;
}

static void report(const struct sets *s, uint32_t level)
{
    if (s->setting.progress)
        s->setting.progress(s->setting.progress_context, level,
                            counter_total(s->counter));
}

/* False: the run has ended. */
static bool judge(struct sets *s, const struct form *form, set from,
                  uint32_t level)
{
    size_t mark = room_mark(s->room);
    set after;
    bool more;

    look(s, form, from, level);
    if (!guard_passes(&s->guard))
        return false;
    if (all_seen(s)) {
        s->guard.end = EXPLORE_SEEN;
        return false;
    }
    after = chain_apply(&s->shop, form->image, from);
    more = guard_passes(&s->guard) &&
           keep_new(s, room_trade(s->room, after, false));
    room_leave(s->room, mark, NULL, 0);
    if (s->guard.end == EXPLORE_COMPLETE)
        report(s, level);
    return more;
}

static void explore_levels(struct sets *s)
{
    uint32_t level = 1;

    s->first = run_form(s, true);
    if (!guard_passes(&s->guard) || !judge(s, s->first, SET_ALL, 1))
        return;
    s->next = run_form(s, false);
    while (guard_passes(&s->guard) &&
           judge(s, s->next, s->levels.at[level - 1], level + 1)) {
        level++;
        ENSURE(level < UINT32_MAX - 1);
    }
}

/* ---- a run ---- */

static void assign_groups(struct sets *s)
{
    const struct scheme *scheme = s->scheme;
    uint32_t *group =
        arena_array(s->arena, scheme->n_variables, sizeof *group);

    for (uint32_t v = 0; v < scheme->n_variables; v++)
        group[v] = UINT32_MAX;
    for (uint32_t i = 0; i < scheme->n_rows; i++)
        for (uint32_t k = 0; k < scheme->rows[i].n; k++)
            group[scheme->rows[i].variable[k]] = i;
    s->shop = (struct workshop){.arena = s->arena,
                                .room = s->room,
                                .guard = &s->guard,
                                .n_variables = scheme->n_variables,
                                .group = group,
                                .n_groups = scheme->n_rows};
}

static struct sets *prepare(const struct slice *slice,
                            const struct explore_setting *setting)
{
    struct arena *arena = arena_new();
    struct sets *s = ARENA_NEW(arena, struct sets);

    s->arena = arena;
    s->slice = slice;
    if (setting)
        s->setting = *setting;
    s->scheme = scheme_new(arena, slice);
    s->room = room_open(s->scheme->n_variables, s->scheme->trade,
                        s->setting.most_bytes);
    s->guard = (struct guard){s->room, s->setting.interrupted,
                              s->setting.interrupted_context,
                              s->room ? EXPLORE_COMPLETE : EXPLORE_MEMORY};
    s->counter = counter_new(s->scheme->state_bits);
    s->watch_level =
        arena_array(arena, slice->n_watches, sizeof *s->watch_level);
    s->end_level = arena_array(arena, slice->n_ends, sizeof *s->end_level);
    s->reach.dead_end = FLAT_NONE;
    assign_groups(s);
    return s;
}

static void conclude(struct sets *s)
{
    struct reach *r = &s->reach;

    r->end = s->guard.end;
    if (r->end == EXPLORE_COMPLETE && !spread_find(s))
        r->end = s->guard.end;
    r->count = counter_text(s->counter, s->arena);
    r->situations = counter_total(s->counter);
    r->levels = (uint32_t)s->levels.n;
    r->level_size = s->sizes.at;
    r->watch_level = s->watch_level;
    r->end_level = s->end_level;
    r->bytes = arena_used(s->arena) +
               (s->room ? room_use(s->room).bytes : 0);
}

struct sets *sets_explore(const struct slice *slice,
                          const struct explore_setting *setting)
{
    struct sets *s;

    ENSURE(!room_is_open()); /* one run at a time */
    s = prepare(slice, setting);
    if (s->room)
        explore_levels(s);
    conclude(s);
    return s;
}

void sets_free(struct sets *s)
{
    if (!s)
        return;
    room_close(s->room);
    counter_free(s->counter);
    vec_release(&s->levels);
    vec_release(&s->sizes);
    arena_free(s->arena);
}

const struct reach *sets_reach(const struct sets *s)
{
    return &s->reach;
}
