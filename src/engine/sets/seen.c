#include "engine/sets/seen.h"

set seen_having(struct sets *sets, uint32_t cell, int64_t value)
{
    const struct slice_cell *of = &sets->slice->cells[cell];
    const struct field *field = &sets->scheme->cells[cell];
    struct room *room = sets->room;
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

set seen_showing(struct sets *sets, const struct observed *seen,
                 uint32_t which, int64_t value)
{
    if (seen->cell[which] == FLAT_NONE)
        return value == seen->fixed[which] ? SET_ALL : SET_NONE;
    return seen_having(sets, seen->cell[which], value);
}

set seen_agreeing(struct sets *sets, set from,
                  const struct observed *seen, uint32_t but)
{
    for (uint32_t i = 0; i < seen->n && from != SET_NONE; i++)
        if (seen->given[i] && i != but)
            from = room_apply(sets->room, ROOM_AND, from,
                              seen_showing(sets, seen, i, seen->value[i]));
    return from;
}
