#include "engine/sets/levels.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/count.h"
#include "engine/sets/scheme.h"
#include "engine/sets/spread.h"
#include "logic/slice.h"

enum {
    WHOLE_TIMES = 3, /* as large as all that was reached: what a level leads
                        to; as what a level has: all that was reached */
    STEPS_MOST = 250000 /* twice what any joining of the machines in
                           models/ needs that is of use */
};

/* Nodes; see docs/notes/sets.md. */
static const uint32_t joined_most[] = {
    [SCHEME_APART] = 20000, [SCHEME_LEVEL] = 2000};
static const uint32_t clustered_most[] = {
    [SCHEME_APART] = 6000, [SCHEME_LEVEL] = 500};

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

/* Counting a level takes bytes too, and the next one may be larger by half;
 * false: there were not enough. */
static bool measure(struct sets *s, set fresh, uint64_t *size)
{
    bool fits = counter_measure(s->counter, fresh, room_use(s->room).left,
                                size);
    uint64_t bytes = counter_bytes(s->counter);

    room_reserve(s->room, bytes + bytes / 2);
    if (!fits)
        s->guard.end = EXPLORE_MEMORY;
    return fits;
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
    if (!measure(s, fresh, &size))
        return false;
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

static void report(struct sets *s, uint32_t level)
{
    if (level <= s->reported)
        return;
    s->reported = level;
    if (s->setting.progress)
        s->setting.progress(s->setting.progress_context, level,
                            counter_total(s->counter));
}

/* Where a scan leads to from a level, and maybe from earlier ones too: those
 * lead to nothing new, and all that was reached can be much more regular than
 * what is first seen at one level.  Held by the caller's scope. */
static set image(struct sets *s, const struct form *form, set from)
{
    uint64_t all, part;
    set after;

    if (s->levels.n == 0)
        return chain_apply(&s->shop, form->image, from);
    all = room_size(s->reached);
    part = room_size(from);
    if (all <= part || (s->whole && all < WHOLE_TIMES * part))
        return s->whole = true, chain_apply(&s->shop, form->image, s->reached);
    after = chain_apply(&s->shop, form->image, from);
    s->whole = guard_passes(&s->guard) &&
               room_size(after) > WHOLE_TIMES * all;
    return after;
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
    after = image(s, form, from);
    more = guard_passes(&s->guard) &&
           keep_new(s, room_trade(s->room, after, false));
    room_leave(s->room, mark, NULL, 0);
    if (s->guard.end == EXPLORE_COMPLETE)
        report(s, level);
    return more;
}

bool levels_forms(struct sets *s)
{
    if (!guard_passes(&s->guard))
        return false;
    if (s->first == NULL)
        s->first = run_form(s, true);
    if (s->next == NULL && guard_passes(&s->guard))
        s->next = run_form(s, false);
    return guard_passes(&s->guard);
}

/* One level more; false: the run has ended. */
static bool next_level(struct sets *s)
{
    uint32_t level = (uint32_t)s->levels.n;

    ENSURE(level < UINT32_MAX - 2);
    if (level == 0)
        s->first = run_form(s, true);
    else if (s->next == NULL)
        s->next = run_form(s, false);
    if (!guard_passes(&s->guard))
        return false;
    if (level == 0)
        return judge(s, s->first, SET_ALL, 1);
    return judge(s, s->next, s->levels.at[level - 1], level + 1);
}

bool levels_go_on(struct sets *s, uint32_t levels, uint64_t effort)
{
    while (guard_passes(&s->guard)) {
        uint64_t now = room_use(s->room).effort;

        if (s->effort.n < s->levels.n)
            vec_push(&s->effort, now);
        if (s->levels.n >= levels || now >= effort)
            return true;
        if (!next_level(s))
            return false;
    }
    return false;
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
                                .n_groups = scheme->n_rows,
                                .joined_most = joined_most[s->kind],
                                .clustered_most = clustered_most[s->kind],
                                .steps_most = STEPS_MOST};
}

struct sets *levels_begin(const struct slice *slice,
                       const struct explore_setting *setting,
                       enum scheme_kind kind)
{
    struct arena *arena = arena_new();
    struct sets *s = ARENA_NEW(arena, struct sets);
    struct room_limits limits;

    s->arena = arena;
    s->slice = slice;
    s->kind = kind;
    if (setting)
        s->setting = *setting;
    s->scheme = scheme_new(arena, slice, kind);
    limits = (struct room_limits){s->setting.most_bytes, guard_stops,
                                  &s->guard};
    s->room = room_open(s->scheme->n_variables, s->scheme->trade, &limits);
    s->guard = (struct guard){
        .room = s->room,
        .interrupted = s->setting.interrupted,
        .interrupted_context = s->setting.interrupted_context,
        .most_effort = s->setting.most_effort,
        .end = s->room ? EXPLORE_COMPLETE : EXPLORE_MEMORY};
    s->counter = counter_new(s->scheme->state_bits);
    s->watch_level =
        arena_array(arena, slice->n_watches, sizeof *s->watch_level);
    s->end_level = arena_array(arena, slice->n_ends, sizeof *s->end_level);
    s->reach.dead_end = FLAT_NONE;
    assign_groups(s);
    return s;
}

void levels_end(struct sets *s)
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
    r->bytes = arena_used(s->arena) + counter_bytes(s->counter) +
               (s->room ? room_use(s->room).bytes : 0);
}

void levels_free(struct sets *s)
{
    if (!s)
        return;
    room_close(s->room);
    counter_free(s->counter);
    vec_release(&s->levels);
    vec_release(&s->sizes);
    vec_release(&s->effort);
    arena_free(s->arena);
}
