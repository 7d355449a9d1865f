#include "engine/concrete/store.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/hash.h"
#include "base/os.h"
#include "base/vec.h"

/* A slot of the index: 0 when empty, else number + 1 in the low bits and
 * bits of the hash above, so that most probes of others end without a look
 * at the situation. */
enum {
    NUMBER_BITS = 40,
    FIRST_SLOTS = 1 << 12,
    CHUNK_WORDS = 1 << 17 /* 1 MiB: situations never move */
};

static const uint64_t number_mask = ((uint64_t)1 << NUMBER_BITS) - 1;

struct store {
    uint32_t n_words;
    uint32_t chunk_shift; /* situations per chunk, as a power of two */
    size_t chunk_bytes;
    uint64_t most_bytes;
    uint64_t count;
    VEC(uint64_t *) chunks;
    uint64_t *slots;
    uint64_t n_slots;
    size_t bytes;
};

struct store *store_new(uint32_t n_words, uint64_t most_bytes)
{
    struct store *s = calloc(1, sizeof *s);

    if (!s)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    ENSURE(n_words > 0);
    s->n_words = n_words;
    s->most_bytes = most_bytes;
    while (((uint64_t)2 << s->chunk_shift) * n_words <= CHUNK_WORDS)
        s->chunk_shift++;
    s->chunk_bytes = ((size_t)n_words << s->chunk_shift) * sizeof(uint64_t);
    return s;
}

void store_free(struct store *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->chunks.n; i++)
        os_unmap(s->chunks.at[i], s->chunk_bytes);
    os_unmap(s->slots, s->n_slots * sizeof *s->slots);
    vec_release(&s->chunks);
    free(s);
}

const uint64_t *store_at(const struct store *s, uint64_t number)
{
    uint64_t inside = number & (((uint64_t)1 << s->chunk_shift) - 1);

    ENSURE(number < s->count);
    return s->chunks.at[number >> s->chunk_shift] + inside * s->n_words;
}

static uint64_t hash_of(const struct store *s, const uint64_t *words)
{
    return s->n_words == 1 ? hash_word(words[0])
                           : hash_words(words, s->n_words);
}

static bool same(const struct store *s, uint64_t number,
                 const uint64_t *words)
{
    const uint64_t *at = store_at(s, number);

    for (uint32_t i = 0; i < s->n_words; i++)
        if (at[i] != words[i])
            return false;
    return true;
}

/* Where the situation is, or the empty slot where it belongs. */
static uint64_t *probe(const struct store *s, const uint64_t *words,
                       uint64_t hash)
{
    uint64_t mask = s->n_slots - 1, i = hash & mask;

    while (s->slots[i] != 0) {
        uint64_t slot = s->slots[i];

        if (((slot ^ hash) & ~number_mask) == 0 &&
            same(s, (slot & number_mask) - 1, words))
            break;
        i = (i + 1) & mask;
    }
    return &s->slots[i];
}

static bool may_take(const struct store *s, size_t bytes)
{
    return s->most_bytes == 0 ||
           (s->bytes <= s->most_bytes &&
            bytes <= s->most_bytes - s->bytes);
}

/* All situations differ, so each goes to the first empty slot. */
static void fill_slots(struct store *s)
{
    uint64_t mask = s->n_slots - 1;

    for (uint64_t n = 0; n < s->count; n++) {
        uint64_t hash = hash_of(s, store_at(s, n)), i = hash & mask;

        while (s->slots[i] != 0)
            i = (i + 1) & mask;
        s->slots[i] = (hash & ~number_mask) | (n + 1);
    }
}

/* Load stays below 0.7.  The old index is kept until the new one is there,
 * so that a store that is full still answers. */
static bool grow_slots(struct store *s)
{
    uint64_t n = s->n_slots ? s->n_slots * 2 : FIRST_SLOTS;
    size_t bytes = n * sizeof *s->slots;
    uint64_t *made = may_take(s, bytes) ? os_map(bytes) : NULL;

    if (!made)
        return false;
    s->bytes += bytes - s->n_slots * sizeof *s->slots;
    os_unmap(s->slots, s->n_slots * sizeof *s->slots);
    s->slots = made;
    s->n_slots = n;
    fill_slots(s);
    return true;
}

static bool have_room(struct store *s)
{
    uint64_t *chunk;

    if (s->count + 1 >= number_mask)
        return false;
    if (s->count * 10 >= s->n_slots * 7 && !grow_slots(s))
        return false;
    if (s->count >> s->chunk_shift < s->chunks.n)
        return true;
    chunk = may_take(s, s->chunk_bytes) ? os_map(s->chunk_bytes) : NULL;
    if (!chunk)
        return false;
    s->bytes += s->chunk_bytes;
    vec_push(&s->chunks, chunk);
    return true;
}

static void append(struct store *s, const uint64_t *words)
{
    uint64_t inside = s->count & (((uint64_t)1 << s->chunk_shift) - 1);
    uint64_t *at = s->chunks.at[s->count >> s->chunk_shift];

    memcpy(at + inside * s->n_words, words, s->n_words * sizeof *words);
    s->count++;
}

enum store_result store_add(struct store *s, const uint64_t *words,
                            uint64_t *number)
{
    uint64_t hash = hash_of(s, words), *slot = NULL;

    if (s->n_slots) {
        slot = probe(s, words, hash);
        if (*slot != 0) {
            if (number)
                *number = (*slot & number_mask) - 1;
            return STORE_KNOWN;
        }
    }
    if (!have_room(s))
        return STORE_FULL;
    slot = probe(s, words, hash); /* the index may have grown */
    *slot = (hash & ~number_mask) | (s->count + 1);
    if (number)
        *number = s->count;
    append(s, words);
    return STORE_NEW;
}

uint64_t store_find(const struct store *s, const uint64_t *words)
{
    const uint64_t *slot;

    if (!s->n_slots)
        return STORE_NONE;
    slot = probe(s, words, hash_of(s, words));
    return *slot == 0 ? STORE_NONE : (*slot & number_mask) - 1;
}

uint64_t store_count(const struct store *s)
{
    return s->count;
}

size_t store_bytes(const struct store *s)
{
    return s->bytes;
}
