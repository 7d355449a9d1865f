#include "engine/concrete/pack.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "logic/slice.h"

static uint32_t bits_for(uint64_t most)
{
    return most == 0 ? 0 : 64 - (uint32_t)__builtin_clzll(most);
}

static struct pack_field field_of(const struct slice_cell *cell)
{
    struct pack_field f = {.low = cell->low, .high = cell->high};

    ENSURE(cell->low <= cell->high && cell->unit >= 1);
    f.unit = (uint64_t)cell->unit;
    f.most = ((uint64_t)cell->high - (uint64_t)cell->low) / f.unit;
    f.bits = bits_for(f.most);
    return f;
}

const struct pack *pack_new(struct arena *arena, const struct slice *slice)
{
    struct pack *pack = ARENA_NEW(arena, struct pack);
    struct pack_field *fields =
        arena_array(arena, slice->n_cells, sizeof *fields);
    uint32_t word = 0, used = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        fields[i] = field_of(&slice->cells[i]);
        if (used + fields[i].bits > 64) {
            word++;
            used = 0;
        }
        fields[i].word = word;
        /* no bits at the end of a full word: any shift does */
        fields[i].shift = fields[i].bits ? used : 0;
        used += fields[i].bits;
    }
    pack->n_words = word + 1;
    pack->n_fields = slice->n_cells;
    pack->fields = fields;
    return pack;
}

bool pack_put(const struct pack_field *f, uint64_t *words, int64_t value)
{
    uint64_t above = (uint64_t)value - (uint64_t)f->low, units = above;
    bool fits = value >= f->low && value <= f->high;

    if (!fits)
        units = value < f->low ? 0 : f->most;
    else if (f->unit != 1) {
        units = above / f->unit;
        fits = units * f->unit == above;
    }
    words[f->word] |= units << f->shift;
    return fits;
}

int64_t pack_get(const struct pack_field *f, const uint64_t *words)
{
    uint64_t units = words[f->word] >> f->shift;

    if (f->bits < 64)
        units &= ((uint64_t)1 << f->bits) - 1;
    return (int64_t)((uint64_t)f->low + units * f->unit);
}
