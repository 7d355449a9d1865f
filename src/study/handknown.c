#include "study/handknown.h"

#include "base/arena.h"
#include "engine/concrete/steer.h"
#include "logic/slice.h"

enum { MOST_TOLD = 64 }; /* values of a cell that are told apart */

static uint32_t values_of(const struct slice_cell *cell)
{
    uint64_t n = ((uint64_t)cell->high - (uint64_t)cell->low) /
                     (uint64_t)cell->unit + 1;

    return n <= MOST_TOLD ? (uint32_t)n : 0;
}

bool handknown_note(const struct slice *slice, struct steer *steer,
                    uint32_t place, bool *known)
{
    uint32_t at = 0;
    bool any = false;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct slice_cell *cell = &slice->cells[i];
        uint32_t n = values_of(cell), which;
        int64_t value;

        if (n > 0 && steer_sure(steer, place, i, &value)) {
            which = at + (uint32_t)((value - cell->low) / cell->unit);
            any = any || !known[which];
            known[which] = true;
        }
        at += n;
    }
    return any;
}

bool *handknown_new(struct arena *arena, const struct slice *slice)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++)
        n += values_of(&slice->cells[i]);
    return arena_array(arena, (size_t)n + 1, sizeof(bool));
}
