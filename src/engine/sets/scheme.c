#include "engine/sets/scheme.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/order.h"
#include "logic/slice.h"

enum { LONG_BITS = 6 }; /* a cell of so many is a long one */

static uint32_t bits_for(uint64_t most)
{
    return most == 0 ? 0 : 64 - (uint32_t)__builtin_clzll(most);
}

static struct field field_of(struct arena *arena, uint64_t most)
{
    struct field f = {most, bits_for(most), NULL};

    f.variable = arena_array(arena, f.n, sizeof *f.variable);
    return f;
}

static uint64_t most_units(const struct slice_cell *cell)
{
    ENSURE(cell->low <= cell->high && cell->unit >= 1);
    return ((uint64_t)cell->high - (uint64_t)cell->low) /
           (uint64_t)cell->unit;
}

/* The highest bit is decided first. */
static uint32_t take(const struct field *f, uint32_t next, uint32_t step)
{
    for (uint32_t i = f->n; i-- > 0; next += step)
        f->variable[i] = next;
    return next;
}

bool scheme_has_long(const struct slice *slice)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++)
        n += bits_for(most_units(&slice->cells[i])) >= LONG_BITS;
    return n > 0;
}

struct draft {
    struct scheme *scheme;
    enum scheme_kind kind;
    struct field *cells, *rows;
    const uint32_t *order;
    uint32_t n;
};

static bool is_level(const struct draft *d, uint32_t item)
{
    return d->kind == SCHEME_LEVEL && item < d->scheme->n_cells &&
           d->cells[item].n >= LONG_BITS;
}

/* Long cells, all from the highest weight down. */
static uint32_t number_level(struct draft *d)
{
    uint32_t next = 0;

    for (uint32_t k = 64; k-- > 0;)
        for (uint32_t i = 0; i < d->n; i++) {
            uint32_t item = d->order[i];

            if (!is_level(d, item) || k >= d->cells[item].n)
                continue;
            d->cells[item].variable[k] = next;
            next += 2;
        }
    return next;
}

static void number(struct draft *d)
{
    uint32_t next = number_level(d), n_cells = d->scheme->n_cells;

    for (uint32_t i = 0; i < d->n; i++) {
        uint32_t item = d->order[i];

        if (is_level(d, item))
            continue;
        if (item < n_cells)
            next = take(&d->cells[item], next + (next & 1), 2);
        else
            next = take(&d->rows[item - n_cells], next, 1);
    }
    d->scheme->n_variables = next + (next & 1);
}

static void find_owners(struct arena *arena, struct draft *d)
{
    struct scheme *scheme = d->scheme;
    uint32_t n = scheme->n_variables;
    bool *trade = arena_array(arena, n / 2, sizeof *trade);
    uint32_t *cell_of = arena_array(arena, n, sizeof *cell_of);
    uint32_t *bit_of = arena_array(arena, n, sizeof *bit_of);

    for (uint32_t i = 0; i < scheme->n_cells; i++) {
        for (uint32_t k = 0; k < d->cells[i].n; k++) {
            uint32_t v = d->cells[i].variable[k];

            trade[v / 2] = true;
            cell_of[v] = i;
            bit_of[v] = k;
        }
        scheme->state_bits += d->cells[i].n;
    }
    scheme->trade = trade;
    scheme->cell_of = cell_of;
    scheme->bit_of = bit_of;
}

const struct scheme *scheme_new(struct arena *arena,
                                const struct slice *slice,
                                enum scheme_kind kind)
{
    struct scheme *scheme = ARENA_NEW(arena, struct scheme);
    struct draft d = {.scheme = scheme, .kind = kind};

    scheme->n_cells = slice->n_cells;
    scheme->n_rows = slice->n_choices;
    d.cells = arena_array(arena, slice->n_cells, sizeof *d.cells);
    d.rows = arena_array(arena, slice->n_choices, sizeof *d.rows);
    for (uint32_t i = 0; i < slice->n_cells; i++)
        d.cells[i] = field_of(arena, most_units(&slice->cells[i]));
    d.order = order_find(arena, slice, &d.n);
    for (uint32_t i = 0; i < d.n; i++)
        if (d.order[i] >= slice->n_cells) {
            uint32_t row = d.order[i] - slice->n_cells;

            d.rows[row] = field_of(arena, slice->choices[row].count - 1);
        }
    number(&d);
    scheme->cells = d.cells;
    scheme->rows = d.rows;
    find_owners(arena, &d);
    return scheme;
}
