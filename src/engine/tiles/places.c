#include "engine/tiles/places.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"

/* ---- situations ---- */

static struct pack_field field_of(const struct slice_cell *cell)
{
    struct pack_field f = {.low = cell->low, .high = cell->high};

    ENSURE(cell->low <= cell->high && cell->unit >= 1);
    f.unit = (uint64_t)cell->unit;
    f.most = ((uint64_t)cell->high - (uint64_t)cell->low) / f.unit;
    f.bits = f.most == 0 ? 0 : 64 - (uint32_t)__builtin_clzll(f.most);
    return f;
}

const struct rest *rest_new(struct arena *arena, const struct slice *slice,
                            const struct tile_bits *bits)
{
    struct rest *rest = ARENA_NEW(arena, struct rest);
    struct pack_field *cells =
        arena_array(arena, slice->n_cells, sizeof *cells);
    uint32_t word = 0, used = 0;

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        cells[i] = field_of(&slice->cells[i]);
        if (bits->of[i] != FLAT_NONE || cells[i].bits == 0)
            continue;
        if (used + cells[i].bits > 64) {
            word++;
            used = 0;
        }
        cells[i].word = word;
        cells[i].shift = used;
        used += cells[i].bits;
    }
    rest->n_words = word + 1;
    rest->bits = word * 64 + used;
    rest->cells = cells;
    return rest;
}

/* ---- between sections ---- */

/* Taken bits, per boundary between parts and word: boundary b lies before
 * part b. */
struct draft {
    struct arena *arena;
    const struct scan_form *form;
    const struct course *course;
    const struct rest *rest;
    uint32_t n_bounds, most_words;
    uint64_t *taken;
    uint32_t *first, *last; /* per item: parts that read it */
};

static uint64_t *taken_at(const struct draft *d, uint32_t bound,
                          uint32_t word)
{
    return &d->taken[(size_t)bound * d->most_words + word];
}

static uint64_t mask_of(const struct pack_field *f)
{
    uint64_t ones = f->bits == 64 ? UINT64_MAX
                                  : ((uint64_t)1 << f->bits) - 1;

    return ones << f->shift;
}

/* Is the place free at boundaries from to until? */
static bool is_free(const struct draft *d, const struct pack_field *f,
                    uint32_t from, uint32_t until)
{
    for (uint32_t b = from; b <= until; b++)
        if (*taken_at(d, b, f->word) & mask_of(f))
            return false;
    return true;
}

static void take(const struct draft *d, const struct pack_field *f,
                 uint32_t from, uint32_t until)
{
    for (uint32_t b = from; b <= until; b++)
        *taken_at(d, b, f->word) |= mask_of(f);
}

/* The lowest place that is free; there is one, since words enough were made
 * for all items one beside the other. */
static void find_place(const struct draft *d, struct pack_field *f,
                       uint32_t from, uint32_t until)
{
    if (f->bits == 0)
        return;
    for (f->word = 0; f->word < d->most_words; f->word++)
        for (f->shift = 0; f->shift + f->bits <= 64; f->shift++)
            if (is_free(d, f, from, until)) {
                take(d, f, from, until);
                return;
            }
    ENSURE(!"no place left");
}

static void note_reads(struct draft *d, const struct part *p)
{
    for (uint32_t i = 0; i < d->form->n_items; i++) {
        if (!p->reads[i])
            continue;
        if (i < d->form->n_rows && p->kind != PART_WATCH &&
            d->first[i] == FLAT_NONE)
            d->first[i] = p->at;
        if (d->last[i] == FLAT_NONE || d->last[i] < p->at)
            d->last[i] = p->at;
    }
    for (uint32_t m = 0; p->kind == PART_VALUES && m < d->form->n_marks; m++)
        if (p->open[m])
            d->first[outline_mark_item(d->form, m)] = p->at;
}

static void find_lives(struct draft *d)
{
    const struct course *c = d->course;
    uint32_t n = d->form->n_items;

    d->first = arena_array(d->arena, n, sizeof *d->first);
    d->last = arena_array(d->arena, n, sizeof *d->last);
    for (uint32_t i = 0; i < n; i++)
        d->first[i] = d->last[i] = FLAT_NONE;
    for (uint32_t p = 0; p < c->n_parts; p++)
        note_reads(d, &c->parts[p]);
    for (uint32_t w = 0; w < c->n_watches; w++)
        note_reads(d, &c->watches[w]);
}

/* Next values have the place that they have in a situation. */
static void place_new(struct draft *d)
{
    const struct course *c = d->course;

    for (uint32_t p = 0; p < c->n_parts; p++)
        for (uint32_t i = 0;
             c->parts[p].kind == PART_VALUES && i < c->parts[p].n; i++) {
            uint32_t cell = c->parts[p].member[i];
            const struct pack_field *f;

            if (cell >= d->form->slice->n_cells ||
                d->form->bits->of[cell] != FLAT_NONE)
                continue;
            f = &d->rest->cells[cell];
            if (f->bits)
                take(d, f, p + 1, d->n_bounds - 1);
        }
}

/* The old value stays where it was if its next value comes late enough. */
static void place_old(struct draft *d, struct pack_field *old)
{
    for (uint32_t i = 0; i < d->form->slice->n_cells; i++) {
        uint32_t last = d->last[outline_cell_item(d->form, i)];

        old[i] = d->rest->cells[i];
        if (last == FLAT_NONE || old[i].bits == 0)
            continue;
        if (is_free(d, &old[i], 0, last))
            take(d, &old[i], 0, last);
        else
            find_place(d, &old[i], 0, last);
    }
}

static void place_lived(struct draft *d, struct pack_field *field,
                        uint32_t item, bool *kept)
{
    if (d->last[item] == FLAT_NONE || d->first[item] == FLAT_NONE ||
        d->first[item] >= d->last[item])
        return;
    kept[item] = true;
    field->bits = outline_width(d->form, item);
    find_place(d, field, d->first[item] + 1, d->last[item]);
}

static void place_rows(struct draft *d, struct pack_field *rows, bool *kept)
{
    for (uint32_t r = 0; r < d->form->slice->n_choices; r++) {
        rows[r].unit = 1;
        rows[r].most = d->form->choices[r].count;
        rows[r].high = (int64_t)rows[r].most;
        place_lived(d, &rows[r], r, kept);
    }
}

static void place_marks(struct draft *d, struct pack_field *marks,
                        bool *kept)
{
    for (uint32_t m = 0; m < d->form->n_marks; m++) {
        const struct flat_node *node = &d->form->nodes[d->form->mark[m]];

        marks[m].unit = 1;
        marks[m].low = node->low;
        marks[m].high = node->high;
        marks[m].most = (uint64_t)node->high - (uint64_t)node->low;
        place_lived(d, &marks[m], outline_mark_item(d->form, m), kept);
    }
}

static uint32_t words_taken(const struct draft *d)
{
    uint32_t n = d->rest->n_words;

    for (uint32_t b = 0; b < d->n_bounds; b++)
        for (uint32_t w = n; w < d->most_words; w++)
            if (*taken_at(d, b, w))
                n = w + 1;
    return n;
}

const struct places *places_new(struct arena *arena,
                                const struct scan_form *form,
                                const struct course *course,
                                const struct rest *rest)
{
    struct places *l = ARENA_NEW(arena, struct places);
    struct draft d = {.arena = arena, .form = form, .course = course,
                      .rest = rest};
    uint32_t n_rows = form->slice->n_choices;
    uint32_t n_cells = form->slice->n_cells;
    struct pack_field *old = arena_array(
        arena, (size_t)n_cells + form->n_marks, sizeof *old);
    struct pack_field *rows = arena_array(arena, n_rows, sizeof *rows);
    bool *kept = arena_array(arena, form->n_items, sizeof *kept);

    d.n_bounds = course->n_parts + 1;
    d.most_words = 2 * rest->n_words + 1 + n_rows / 2 + form->n_marks;
    d.taken = arena_array(arena, (size_t)d.n_bounds * d.most_words,
                          sizeof *d.taken);
    find_lives(&d);
    place_new(&d);
    place_old(&d, old);
    place_rows(&d, rows, kept);
    place_marks(&d, old + n_cells, kept);
    l->n_words = words_taken(&d);
    l->old = old;
    l->rows = rows;
    l->kept = kept;
    l->first = d.first;
    l->last = d.last;
    return l;
}

bool places_bring(const struct places *p, uint32_t item, uint32_t part)
{
    return p->kept[item] && p->first[item] < part && part <= p->last[item];
}

bool places_carry(const struct places *p, uint32_t item, uint32_t part)
{
    return p->kept[item] && p->first[item] <= part && part < p->last[item];
}
