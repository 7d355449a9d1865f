#include "engine/sets/count.h"

#include <gmp.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "base/vec.h"

enum { FIRST_SLOTS = 64 };

/* What is known of one node. */
struct known {
    set node;
    mpz_t count;
};

struct counter {
    mpz_t total, last, all; /* all: every assignment */
    VEC(struct known) known;
    uint32_t *slots; /* 0: empty, else number in known + 1 */
    uint32_t n_slots;
};

static void *zeroed(size_t n, size_t size)
{
    void *made = calloc(n, size);

    if (!made)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    return made;
}

struct counter *counter_new(uint32_t n_bits)
{
    struct counter *c = zeroed(1, sizeof *c);

    mpz_init(c->total);
    mpz_init(c->last);
    mpz_init_set_ui(c->all, 1);
    mpz_mul_2exp(c->all, c->all, n_bits);
    c->n_slots = FIRST_SLOTS;
    c->slots = zeroed(c->n_slots, sizeof *c->slots);
    return c;
}

static void forget(struct counter *c)
{
    for (size_t i = 0; i < c->known.n; i++)
        mpz_clear(c->known.at[i].count);
    vec_clear(&c->known);
    memset(c->slots, 0, c->n_slots * sizeof *c->slots);
}

void counter_free(struct counter *c)
{
    if (!c)
        return;
    forget(c);
    mpz_clear(c->total);
    mpz_clear(c->last);
    mpz_clear(c->all);
    vec_release(&c->known);
    free(c->slots);
    free(c);
}

static uint32_t *slot_of(const struct counter *c, set node)
{
    uint32_t mask = c->n_slots - 1;
    uint32_t i = (uint32_t)hash_word((uint64_t)node) & mask;

    while (c->slots[i] && c->known.at[c->slots[i] - 1].node != node)
        i = (i + 1) & mask;
    return &c->slots[i];
}

static void grow(struct counter *c)
{
    free(c->slots);
    c->n_slots *= 2;
    c->slots = zeroed(c->n_slots, sizeof *c->slots);
    for (size_t i = 0; i < c->known.n; i++)
        *slot_of(c, c->known.at[i].node) = (uint32_t)i + 1;
}

static struct known *add_node(struct counter *c, set node)
{
    struct known made = {.node = node};

    if (c->known.n * 2 >= c->n_slots)
        grow(c);
    mpz_init(made.count);
    vec_push(&c->known, made);
    *slot_of(c, node) = (uint32_t)c->known.n;
    return &c->known.at[c->known.n - 1];
}

/* Adds the assignments in a set, all variables counting: half of each side's
 * of a node, since either side leaves the node's own variable open.  As deep
 * as there are variables. */
static void add_count(struct counter *c, set a, mpz_t sum)
{
    struct room_look look;
    uint32_t slot;
    mpz_t here;

    if (a == SET_NONE)
        return;
    if (a == SET_ALL) {
        mpz_add(sum, sum, c->all);
        return;
    }
    slot = *slot_of(c, a);
    if (slot) {
        mpz_add(sum, sum, c->known.at[slot - 1].count);
        return;
    }
    look = room_look(a);
    mpz_init(here);
    add_count(c, look.no, here);
    add_count(c, look.yes, here);
    mpz_divexact_ui(here, here, 2);
    mpz_set(add_node(c, a)->count, here);
    mpz_add(sum, sum, here);
    mpz_clear(here);
}

static uint64_t as_word(const mpz_t n)
{
    uint64_t word = 0;

    if (mpz_sizeinbase(n, 2) > 64)
        return UINT64_MAX;
    mpz_export(&word, NULL, -1, sizeof word, 0, 0, n);
    return word;
}

uint64_t counter_measure(struct counter *c, set a)
{
    forget(c);
    mpz_set_ui(c->last, 0);
    add_count(c, a, c->last);
    return as_word(c->last);
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
