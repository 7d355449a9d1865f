#include "engine/sets/spread.h"

#include "base/arena.h"
#include "engine/sets/scheme.h"
#include "engine/sets/run.h"
#include "logic/slice.h"

/* The largest, or smallest, number of units above low: from the highest bit
 * down, each is as wanted where some situation left allows it. */
static uint64_t extreme(struct sets *s, const struct field *f, bool largest)
{
    size_t mark = room_mark(s->room);
    set left = s->reached;
    uint64_t units = 0;

    for (uint32_t k = f->n; k-- > 0;) {
        set bit = room_variable(s->room, f->variable[k]);
        set wanted = room_apply(
            s->room, largest ? ROOM_AND : ROOM_WITHOUT, left, bit);
        bool there = wanted != SET_NONE;

        if (there)
            left = wanted;
        units |= (uint64_t)(largest == there) << k;
    }
    room_leave(s->room, mark, NULL, 0);
    return units;
}

bool spread_find(struct sets *s)
{
    uint32_t n = s->slice->n_cells;
    int64_t *low = arena_array(s->arena, n, sizeof *low);
    int64_t *high = arena_array(s->arena, n, sizeof *high);

    for (uint32_t i = 0; i < n && guard_passes(&s->guard); i++) {
        const struct slice_cell *cell = &s->slice->cells[i];
        const struct field *f = &s->scheme->cells[i];

        low[i] = high[i] = cell->low;
        if (s->reached == SET_NONE)
            continue;
        low[i] = (int64_t)((uint64_t)cell->low +
                           extreme(s, f, false) * (uint64_t)cell->unit);
        high[i] = (int64_t)((uint64_t)cell->low +
                            extreme(s, f, true) * (uint64_t)cell->unit);
    }
    if (!guard_passes(&s->guard))
        return false;
    s->reach.low = low;
    s->reach.high = high;
    return true;
}
