#include "engine/sets/path.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/scheme.h"
#include "engine/sets/sets.h"
#include "logic/slice.h"

struct sets_path {
    const struct sets *sets;
    const set *at; /* per level, from 1: at[0] */
    uint32_t length;
};

static uint32_t goal_length(const struct sets *s, enum sequence_goal goal,
                            uint32_t index)
{
    if (goal == GOAL_WATCH) {
        ENSURE(index < s->slice->n_watches);
        return s->watch_level[index];
    }
    if (goal == GOAL_END) {
        ENSURE(index < s->slice->n_ends);
        return s->end_level[index];
    }
    return s->reach.dead_end == FLAT_NONE ? 0 : s->reach.dead_end + 1;
}

/* Of the situations, those from which the goal can be reached in a scan. */
static set before_goal(struct sets *s, set from, enum sequence_goal goal,
                       uint32_t index)
{
    const struct form *form = s->next;
    set all = SET_NONE;

    if (goal == GOAL_WATCH)
        return chain_apply(&s->shop, form->watches[index], from);
    if (goal == GOAL_END)
        return chain_apply(&s->shop, form->ends[index], from);
    for (uint32_t i = 0; i < form->n_dead; i++)
        all = room_apply(s->room, ROOM_OR, all,
                         chain_apply(&s->shop, form->dead[i], from));
    return all;
}

/* Of the situations, those from which one scan leads into `into`. */
static set before(struct sets *s, const struct chain *back, set from,
                  set into)
{
    set both = room_apply(s->room, ROOM_AND, from,
                          room_trade(s->room, into, true));

    return chain_apply(&s->shop, back, both);
}

static const struct chain *way_back(struct sets *s)
{
    struct arena *outer = s->shop.scratch;
    const struct chain *back;

    s->shop.scratch = arena_new();
    back = relation_chain(
        &s->shop, s->next->step,
        form_variables(s->shop.scratch, s->scheme, true));
    arena_free(s->shop.scratch);
    s->shop.scratch = outer;
    return back;
}

set *path_back(struct sets *s, uint32_t length, set last)
{
    set *at = arena_array(s->arena, length, sizeof *at);
    const struct chain *back = length > 2 ? way_back(s) : NULL;

    at[length - 2] = last;
    for (uint32_t level = length - 2; level > 0; level--) {
        size_t mark = room_mark(s->room);

        at[level - 1] = before(s, back, s->levels.at[level - 1], at[level]);
        room_leave(s->room, mark, &at[level - 1], 1);
        if (!guard_passes(&s->guard))
            return NULL;
        ENSURE(at[level - 1] != SET_NONE);
    }
    return at;
}

/* Sets of a path are held as long as the run. */
static set *go_back(struct sets *s, uint32_t length, enum sequence_goal goal,
                    uint32_t index)
{
    size_t mark = room_mark(s->room);
    set last;

    if (length < 2)
        return arena_array(s->arena, length, sizeof(set));
    last = before_goal(s, s->levels.at[length - 2], goal, index);
    room_leave(s->room, mark, &last, 1);
    if (!guard_passes(&s->guard))
        return NULL;
    ENSURE(last != SET_NONE);
    return path_back(s, length, last);
}

const struct sets_path *sets_path(struct sets *s, enum sequence_goal goal,
                                  uint32_t index)
{
    uint32_t length = goal_length(s, goal, index);
    struct sets_path *made;

    if (length == 0 || sets_lost(s))
        return NULL;
    s->guard.end = EXPLORE_COMPLETE; /* what ended the run was limits */
    made = ARENA_NEW(s->arena, struct sets_path);
    made->sets = s;
    made->length = length;
    made->at = go_back(s, length, goal, index);
    return made->at ? made : NULL;
}

bool sets_lost(const struct sets *s)
{
    return !s->room || room_use(s->room).full ||
           s->guard.end == EXPLORE_INTERRUPTED;
}

uint32_t sets_path_length(const struct sets_path *path)
{
    return path->length;
}

/* ---- situation by situation ---- */

/* Variables of cells before the scan, the first decided first. */
struct listing {
    const struct sets *sets;
    const uint32_t *variable;
    uint32_t n;
    int64_t *cells;
    explore_taker *take;
    void *taker;
};

static void put_bit(const struct listing *l, uint32_t variable, bool bit)
{
    const struct scheme *scheme = l->sets->scheme;
    uint32_t i = scheme->cell_of[variable];
    const struct slice_cell *cell = &l->sets->slice->cells[i];
    uint64_t unit = (uint64_t)cell->unit << scheme->bit_of[variable];
    uint64_t value = (uint64_t)l->cells[i];

    l->cells[i] = (int64_t)(bit ? value + unit : value - unit);
}

/* Those whose first k bits are put already, the others are 0; false: no more
 * is taken. */
static bool list_from(const struct listing *l, uint32_t k, set at)
{
    struct room_look look = {0, at, at};
    bool more;

    if (at == SET_NONE)
        return true;
    if (k == l->n)
        return l->take(l->taker, l->cells);
    if (at != SET_ALL && room_look(at).variable == l->variable[k])
        look = room_look(at);
    if (!list_from(l, k + 1, look.no))
        return false;
    put_bit(l, l->variable[k], true);
    more = list_from(l, k + 1, look.yes);
    put_bit(l, l->variable[k], false);
    return more;
}

void path_list(const struct sets *s, set at, explore_taker *take,
               void *taker)
{
    struct arena *arena = arena_new();
    uint32_t *variable = arena_array(arena, s->scheme->n_variables,
                                     sizeof *variable);
    struct listing l = {s, variable, 0, NULL, take, taker};

    l.cells = arena_array(arena, s->slice->n_cells, sizeof *l.cells);
    for (uint32_t i = 0; i < s->slice->n_cells; i++)
        l.cells[i] = s->slice->cells[i].low;
    for (uint32_t v = 0; v < s->scheme->n_variables; v += 2)
        if (s->scheme->trade[v / 2])
            variable[l.n++] = v;
    list_from(&l, 0, at);
    arena_free(arena);
}

void sets_path_list(const struct sets_path *path, uint32_t level,
                    explore_taker *take, void *taker)
{
    ENSURE(level > 0 && level < path->length);
    path_list(path->sets, path->at[level - 1], take, taker);
}
