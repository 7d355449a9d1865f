#include "engine/sets/count.h"

#include <gmp.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "base/os.h"
#include "engine/sets/steps.h"

/* Rows 0 and 1 stand for SET_NONE and SET_ALL. */
enum { FIRST_ROWS = 256, FIRST_SLOTS = 1024, LIMB_BITS = 64 };

/* What is known of nodes: a row is the node and its count, all of one size,
 * in bytes of the system's own, which have them back at once: what is freed
 * would not count as free otherwise. */
struct counter {
    mpz_t total, last;
    uint32_t n_bits;
    mp_size_t n_limbs; /* of a count, and of the sum of two */
    uint64_t *rows, n_rows, room;
    uint32_t *slots, n_slots; /* 0: empty, else number of the row */
    uint64_t held, most_held, most_bytes; /* most_bytes 0: any */
    bool full;
};

/* NULL: that would be more than what is allowed. */
static void *take(struct counter *c, uint64_t bytes)
{
    void *made;

    if (c->most_bytes && c->held + bytes > c->most_bytes)
        return NULL;
    made = os_map(bytes);
    if (!made)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    c->held += bytes;
    if (c->held > c->most_held)
        c->most_held = c->held;
    return made;
}

static void give(struct counter *c, void *at, uint64_t bytes)
{
    if (!at)
        return;
    os_unmap(at, bytes);
    c->held -= bytes;
}

static uint64_t row_bytes(const struct counter *c)
{
    return (1 + (uint64_t)c->n_limbs) * sizeof(uint64_t);
}

static uint64_t *row_at(const struct counter *c, uint64_t number)
{
    return c->rows + number * (1 + (uint64_t)c->n_limbs);
}

static mp_limb_t *count_at(const struct counter *c, uint64_t number)
{
    return (mp_limb_t *)(row_at(c, number) + 1);
}

struct counter *counter_new(uint32_t n_bits)
{
    struct counter *c = calloc(1, sizeof *c);

    if (!c)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    ENSURE(GMP_NUMB_BITS == LIMB_BITS);
    mpz_init(c->total);
    mpz_init(c->last);
    c->n_bits = n_bits;
    c->n_limbs = (mp_size_t)((n_bits + 1) / LIMB_BITS + 1);
    return c;
}

void counter_free(struct counter *c)
{
    if (!c)
        return;
    give(c, c->rows, c->room * row_bytes(c));
    give(c, c->slots, c->n_slots * sizeof *c->slots);
    mpz_clear(c->total);
    mpz_clear(c->last);
    free(c);
}

static uint32_t *slot_of(const struct counter *c, set node)
{
    uint32_t mask = c->n_slots - 1;
    uint32_t i = (uint32_t)hash_word((uint64_t)node) & mask;

    while (c->slots[i] && row_at(c, c->slots[i])[0] != (uint64_t)node)
        i = (i + 1) & mask;
    return &c->slots[i];
}

/* False: no bytes for that. */
static bool grow_rows(struct counter *c)
{
    uint64_t *made = take(c, c->room * 2 * row_bytes(c));

    if (!made)
        return false;
    memcpy(made, c->rows, c->room * row_bytes(c));
    give(c, c->rows, c->room * row_bytes(c));
    c->rows = made;
    c->room *= 2;
    return true;
}

static bool grow_slots(struct counter *c)
{
    uint32_t *made = take(c, c->n_slots * 2 * sizeof *made);

    if (!made)
        return false;
    give(c, c->slots, c->n_slots * sizeof *c->slots);
    c->slots = made;
    c->n_slots *= 2;
    for (uint64_t i = 2; i < c->n_rows; i++)
        *slot_of(c, (set)row_at(c, i)[0]) = (uint32_t)i;
    return true;
}

/* What was taken for another level is kept. */
static bool begin(struct counter *c)
{
    if (!c->rows) {
        c->room = FIRST_ROWS;
        c->rows = take(c, c->room * row_bytes(c));
    }
    if (!c->slots) {
        c->n_slots = FIRST_SLOTS;
        c->slots = take(c, c->n_slots * sizeof *c->slots);
    } else {
        memset(c->slots, 0, c->n_slots * sizeof *c->slots);
    }
    c->full = !c->rows || !c->slots;
    if (c->full)
        return false;
    c->n_rows = 2;
    count_at(c, 1)[c->n_bits / LIMB_BITS] = (mp_limb_t)1
                                            << c->n_bits % LIMB_BITS;
    return true;
}

/* The row of a node of which nothing is known yet; 0: no bytes left. */
static uint32_t add_row(struct counter *c, set node)
{
    bool fits = c->n_rows < UINT32_MAX;

    if (c->n_rows == c->room)
        fits = fits && grow_rows(c);
    if (c->n_rows * 2 >= c->n_slots)
        fits = fits && grow_slots(c);
    c->full |= !fits;
    if (c->full)
        return 0;
    row_at(c, c->n_rows)[0] = (uint64_t)node;
    *slot_of(c, node) = (uint32_t)c->n_rows;
    return (uint32_t)c->n_rows++;
}

/* The row that has the assignments in a set, all variables counting: half of
 * each side's of a node, since either side leaves the node's own variable
 * open.  As deep as there are variables. */
static uint32_t count_of(struct counter *c, set a)
{
    struct room_look look;
    uint32_t no, yes, row;

    if (a == SET_NONE || a == SET_ALL || c->full)
        return a == SET_ALL;
    row = *slot_of(c, a);
    if (row)
        return row;
    look = room_look(a);
    no = count_of(c, look.no);
    yes = count_of(c, look.yes);
    row = add_row(c, a);
    if (row == 0)
        return 0;
    mpn_add_n(count_at(c, row), count_at(c, no), count_at(c, yes),
              c->n_limbs);
    mpn_rshift(count_at(c, row), count_at(c, row), c->n_limbs, 1);
    return row;
}

static uint64_t as_word(const mpz_t n)
{
    uint64_t word = 0;

    if (mpz_sizeinbase(n, 2) > 64)
        return UINT64_MAX;
    mpz_export(&word, NULL, -1, sizeof word, 0, 0, n);
    return word;
}

bool counter_measure(struct counter *c, set a, uint64_t most_bytes,
                     uint64_t *size)
{
    bool fits;

    c->most_bytes = most_bytes;
    fits = begin(c);
    if (fits) {
        uint32_t row = count_of(c, a);

        mpz_import(c->last, (size_t)c->n_limbs, -1, sizeof(mp_limb_t), 0, 0,
                   count_at(c, row));
        *size = as_word(c->last);
        fits = !c->full;
        steps_look(c->n_rows);
    }
    return fits;
}

uint64_t counter_bytes(const struct counter *c)
{
    return c->most_held;
}

bool counter_exceeds(const struct counter *c, uint64_t most)
{
    mpz_t sum;
    bool exceeds;

    mpz_init(sum);
    mpz_add(sum, c->total, c->last);
    exceeds = mpz_sizeinbase(sum, 2) > 64 || as_word(sum) > most;
    mpz_clear(sum);
    return exceeds;
}

void counter_add(struct counter *c)
{
    mpz_add(c->total, c->total, c->last);
}

uint64_t counter_total(const struct counter *c)
{
    return as_word(c->total);
}

const char *counter_text(const struct counter *c, struct arena *arena)
{
    char *text = arena_alloc(arena, mpz_sizeinbase(c->total, 10) + 2);

    return mpz_get_str(text, 10, c->total);
}
