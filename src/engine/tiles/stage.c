#include "engine/tiles/stage.h"

#include <string.h>

#include "engine/tiles/keys.h"

/* Most: what fits the caches near the processor; more would merge more and
 * wait longer for memory.  A slot is 0 when empty, else entry number + 1 and,
 * above it, bits of the hash. */
enum {
    FIRST_ROOM = 1 << 6,
    MOST_ROOM = 1 << 15,
    NUMBER_BITS = 16,
    TAG_BITS = 32 - NUMBER_BITS
};

static const uint32_t number_mask = ((uint32_t)1 << NUMBER_BITS) - 1;

static uint32_t stride_of(const struct stage *s)
{
    return s->n_words + s->set_words;
}

static size_t bytes_of(const struct stage *s, uint32_t room)
{
    return (size_t)room * stride_of(s) * sizeof *s->entries;
}

static uint64_t *entry_at(const struct stage *s, uint32_t i)
{
    return s->entries + (size_t)i * stride_of(s);
}

static bool is_entry(const struct stage *s, uint32_t slot,
                     const uint64_t *words)
{
    const uint64_t *at = entry_at(s, (slot & number_mask) - 1);

    return at[0] == words[0] &&
           (s->n_words == 1 || keys_same(at, words, s->n_words));
}

/* The entry with these words, or the empty slot where it belongs. */
static uint32_t *probe(const struct stage *s, const uint64_t *words,
                       uint64_t hash)
{
    uint64_t mask = s->n_slots - 1, i = hash >> TAG_BITS & mask;
    uint32_t tag = (uint32_t)hash << NUMBER_BITS;

    while (s->slots[i]) {
        uint32_t slot = s->slots[i];

        if ((slot & ~number_mask) == tag && is_entry(s, slot, words))
            break;
        i = (i + 1) & mask;
    }
    return &s->slots[i];
}

/* Enters entry number n, which is in no slot yet. */
static void enter(struct stage *s, uint32_t n)
{
    uint64_t hash = keys_hash(entry_at(s, n), s->n_words);

    *probe(s, entry_at(s, n), hash) =
        (uint32_t)hash << NUMBER_BITS | (n + 1);
}

static bool grow(struct stage *s)
{
    uint32_t room = s->room ? s->room * 2 : FIRST_ROOM;
    uint64_t *entries = budget_take(s->budget, bytes_of(s, room));
    uint32_t *slots =
        budget_take(s->budget, (size_t)room * 2 * sizeof *slots);

    if (!entries || !slots) {
        budget_give(s->budget, entries, bytes_of(s, room));
        budget_give(s->budget, slots, (size_t)room * 2 * sizeof *slots);
        return false;
    }
    if (s->n)
        memcpy(entries, s->entries, bytes_of(s, s->n));
    stage_release(s);
    s->entries = entries;
    s->slots = slots;
    s->room = room;
    s->n_slots = room * 2;
    for (uint32_t i = 0; i < s->n; i++)
        enter(s, i);
    return true;
}

bool stage_init(struct stage *s, struct budget *budget, uint32_t n_words,
                uint32_t set_words)
{
    *s = (struct stage){.budget = budget, .n_words = n_words,
                        .set_words = set_words};
    return grow(s);
}

void stage_release(struct stage *s)
{
    budget_give(s->budget, s->entries, bytes_of(s, s->room));
    budget_give(s->budget, s->slots, s->n_slots * sizeof *s->slots);
    s->entries = NULL;
    s->slots = NULL;
    s->room = s->n_slots = 0;
}

bool stage_add(struct stage *s, const uint64_t *entry)
{
    uint64_t hash = keys_hash(entry, s->n_words);
    uint32_t *slot = probe(s, entry, hash);

    if (*slot) {
        uint64_t *at = entry_at(s, (*slot & number_mask) - 1) + s->n_words;

        for (uint32_t i = 0; i < s->set_words; i++)
            at[i] |= entry[s->n_words + i];
        return true;
    }
    if (s->n == s->room) {
        if (s->room >= MOST_ROOM || !grow(s))
            return false;
        slot = probe(s, entry, hash);
    }
    memcpy(entry_at(s, s->n), entry, stride_of(s) * sizeof *entry);
    *slot = (uint32_t)hash << NUMBER_BITS | ++s->n;
    return true;
}

const uint64_t *stage_at(const struct stage *s, uint32_t i)
{
    return entry_at(s, i);
}

/* A few entries are taken out one by one; the slot of an entry is the one
 * that says so, whatever lies before it. */
static void clear_singly(struct stage *s)
{
    uint64_t mask = s->n_slots - 1;

    for (uint32_t n = s->n; n > 0; n--) {
        uint64_t i = keys_hash(entry_at(s, n - 1), s->n_words) >> TAG_BITS &
                     mask;

        while ((s->slots[i] & number_mask) != n)
            i = (i + 1) & mask;
        s->slots[i] = 0;
    }
}

void stage_clear(struct stage *s)
{
    if (s->n * 16 < s->n_slots)
        clear_singly(s);
    else
        memset(s->slots, 0, s->n_slots * sizeof *s->slots);
    s->n = 0;
}
