#include "engine/tiles/choose.h"

#include <string.h>

#include "base/arena.h"
#include "engine/tiles/keys.h"
#include "engine/tiles/places.h"
#include "engine/tiles/table.h"

/* More would take longer and choose the same. */
enum { MOST_KEYS = TABLE_FIRST };

/* Situations as keys: words without the bits chosen so far, and a level. */
struct chooser {
    const struct sample *sample;
    uint32_t n_words, stride;
    uint64_t n, *keys;
    uint64_t *trial;   /* one key */
    uint32_t *slots;   /* 0: empty, else number + 1 */
    uint64_t n_slots;
    bool *taken;       /* per cell */
};

static void load(struct chooser *c, struct arena *arena)
{
    const struct sample *s = c->sample;
    uint64_t at = 0;

    c->n = 0;
    for (uint32_t l = 0; l < s->levels; l++)
        c->n += s->sizes[l];
    if (c->n > MOST_KEYS)
        c->n = MOST_KEYS;
    c->keys = arena_array(arena, c->n * c->stride, sizeof *c->keys);
    for (uint32_t l = 0; l < s->levels; l++)
        for (uint64_t i = 0; i < s->sizes[l] && at < c->n; i++, at++) {
            uint64_t *key = c->keys + at * c->stride;

            memcpy(key, table_at(s->table, at), c->n_words * sizeof *key);
            key[c->n_words] = l;
        }
    c->n_slots = 64;
    while (c->n_slots < c->n * 2)
        c->n_slots *= 2;
    c->slots = arena_array(arena, c->n_slots, sizeof *c->slots);
    c->trial = arena_array(arena, c->stride, sizeof *c->trial);
}

static void clear_bit(const struct chooser *c, uint32_t cell, uint64_t *key)
{
    const struct pack_field *f = &c->sample->rest->cells[cell];

    key[f->word] &= ~((uint64_t)1 << f->shift);
}

/* Is the trial key, one of its cell's bits cleared, that of an earlier
 * one? */
static bool is_known(const struct chooser *c, uint32_t cell, uint64_t number)
{
    uint64_t mask = c->n_slots - 1;
    uint64_t at = keys_hash(c->trial, c->stride) & mask;

    for (; c->slots[at]; at = (at + 1) & mask) {
        const uint64_t *other =
            c->keys + (uint64_t)(c->slots[at] - 1) * c->stride;
        uint64_t differs = other[c->n_words] ^ c->trial[c->n_words];

        for (uint32_t w = 0; w < c->n_words; w++) {
            const struct pack_field *f = &c->sample->rest->cells[cell];
            uint64_t bit = w == f->word ? (uint64_t)1 << f->shift : 0;

            differs |= (other[w] ^ c->trial[w]) & ~bit;
        }
        if (!differs)
            return true;
    }
    c->slots[at] = (uint32_t)number + 1;
    return false;
}

/* Tiles, counted once per level, were this bit chosen as well. */
static uint64_t tiles_with(struct chooser *c, uint32_t cell)
{
    uint64_t n = 0;

    memset(c->slots, 0, c->n_slots * sizeof *c->slots);
    for (uint64_t i = 0; i < c->n; i++) {
        memcpy(c->trial, c->keys + i * c->stride,
               c->stride * sizeof *c->trial);
        clear_bit(c, cell, c->trial);
        n += !is_known(c, cell, i);
    }
    return n;
}

/* What is chosen takes its bit out of all keys; of equal ones one is
 * kept. */
static void take(struct chooser *c, uint32_t cell)
{
    uint64_t kept = 0;

    c->taken[cell] = true;
    memset(c->slots, 0, c->n_slots * sizeof *c->slots);
    for (uint64_t i = 0; i < c->n; i++) {
        uint64_t *key = c->keys + i * c->stride;

        clear_bit(c, cell, key);
        memcpy(c->trial, key, c->stride * sizeof *key);
        memmove(c->keys + kept * c->stride, key, c->stride * sizeof *key);
        kept += !is_known(c, cell, kept);
    }
    c->n = kept;
}

static bool has_two_values(const struct slice_cell *cell)
{
    return (uint64_t)cell->high - (uint64_t)cell->low ==
           (uint64_t)cell->unit;
}

static uint32_t best_cell(struct chooser *c)
{
    const struct slice *s = c->sample->slice;
    uint64_t least = c->n - c->n / 20; /* less is not worth a bit */
    uint32_t best = FLAT_NONE;

    for (uint32_t i = 0; i < s->n_cells; i++) {
        uint64_t tiles;

        if (c->taken[i] || !has_two_values(&s->cells[i]))
            continue;
        tiles = tiles_with(c, i);
        if (tiles < least) {
            least = tiles;
            best = i;
        }
    }
    return best;
}

uint32_t choose_bits(const struct sample *sample, uint32_t most,
                     uint32_t *cell)
{
    struct arena *scratch = arena_new();
    struct chooser c = {.sample = sample};
    uint32_t n = 0, next;

    c.n_words = sample->rest->n_words;
    c.stride = c.n_words + 1;
    c.taken = arena_array(scratch, sample->slice->n_cells, sizeof *c.taken);
    load(&c, scratch);
    while (n < most && (next = best_cell(&c)) != FLAT_NONE) {
        take(&c, next);
        cell[n++] = next;
    }
    arena_free(scratch);
    return n;
}
