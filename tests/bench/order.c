#include "tests/bench/order.h"

#include <stdlib.h>

#include "tests/bench/shape.h"

/* One bit of a cell or of a choice, to be given a place. */
struct bit {
    uint32_t *place;
    bool is_cell;
};

struct placing {
    struct order *order;
    struct shape next;
    bool *placed; /* per choice */
    struct bit *bits;
    uint32_t n_bits;
};

static uint64_t most_of(const struct slice_cell *cell)
{
    return ((uint64_t)cell->high - (uint64_t)cell->low) /
           (uint64_t)cell->unit;
}

static void measure(struct order *o)
{
    const struct slice *s = o->slice;

    o->cell_bits = calloc(s->n_cells + 1, sizeof *o->cell_bits);
    o->now = calloc(s->n_cells + 1, sizeof *o->now);
    o->choice_bits = calloc(s->n_choices + 1, sizeof *o->choice_bits);
    o->choice = calloc(s->n_choices + 1, sizeof *o->choice);
    for (uint32_t i = 0; i < s->n_cells; i++) {
        o->cell_bits[i] = bits_of(most_of(&s->cells[i]));
        o->now[i] = calloc(o->cell_bits[i] + 1, sizeof **o->now);
    }
    for (uint32_t r = 0; r < s->n_choices; r++) {
        if (!s->used[r])
            continue;
        o->choice_bits[r] = bits_of(s->choices[r].count - 1);
        o->choice[r] = calloc(o->choice_bits[r] + 1, sizeof **o->choice);
    }
}

static void place_choice(struct placing *p, uint32_t row)
{
    if (p->placed[row])
        return;
    p->placed[row] = true;
    for (uint32_t b = 0; b < p->order->choice_bits[row]; b++)
        p->bits[p->n_bits++] = (struct bit){&p->order->choice[row][b], false};
}

static void place_cell(struct placing *p, uint32_t cell)
{
    for (uint32_t b = 0; b < p->order->cell_bits[cell]; b++)
        p->bits[p->n_bits++] = (struct bit){&p->order->now[cell][b], true};
}

static void place_all(struct placing *p, bool choices_first)
{
    const struct slice *s = p->order->slice;

    for (uint32_t r = 0; choices_first && r < s->n_choices; r++)
        place_choice(p, r);
    for (uint32_t i = 0; i < s->n_cells; i++) {
        for (uint32_t r = 0; r < s->n_choices; r++)
            if (shape_reads(&p->next, shape_cell(&p->next, i), r))
                place_choice(p, r);
        place_cell(p, i);
    }
    for (uint32_t r = 0; r < s->n_choices; r++)
        place_choice(p, r);
}

static void shuffle(struct placing *p, uint32_t seed)
{
    uint64_t state = seed * UINT64_C(0x9E3779B97F4A7C15);
    uint32_t from = 0;

    while (from < p->n_bits && !p->bits[from].is_cell)
        from++;
    for (uint32_t i = p->n_bits; i > from + 1; i--) {
        uint32_t j;
        struct bit moved = p->bits[i - 1];

        state = state * 6364136223846793005u + 1442695040888963407u;
        j = from + (uint32_t)((state >> 33) % (i - from));
        p->bits[i - 1] = p->bits[j];
        p->bits[j] = moved;
    }
}

void order_init(struct order *order, const struct slice *slice, uint32_t seed)
{
    struct placing p = {.order = order};
    size_t most = 0;

    order->slice = slice;
    measure(order);
    for (uint32_t i = 0; i < slice->n_cells; i++)
        most += order->cell_bits[i];
    for (uint32_t r = 0; r < slice->n_choices; r++)
        most += order->choice_bits[r];
    p.bits = calloc(most + 1, sizeof *p.bits);
    p.placed = calloc(slice->n_choices + 1, sizeof *p.placed);
    shape_init(&p.next, slice, false);
    place_all(&p, seed != 0);
    if (seed)
        shuffle(&p, seed);
    order->n = 0;
    for (uint32_t i = 0; i < p.n_bits; i++) {
        *p.bits[i].place = order->n;
        order->n += p.bits[i].is_cell ? 2 : 1;
    }
    shape_release(&p.next);
    free(p.bits);
    free(p.placed);
}
