#include "engine/tiles/table.h"

#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/vec.h"
#include "engine/tiles/bits.h"
#include "engine/tiles/compact.h"
#include "engine/tiles/keys.h"
#include "engine/tiles/rank.h"

/* A slot of the index: 0 when empty, else tile number + 1 and, above it,
 * bits of the hash, so that most probes of others end without a look at the
 * tile. */
enum {
    NUMBER_BITS = 40,
    FIRST_SLOTS = 1 << 9,
    CHUNK_WORDS = 1 << 17,
    BATCH = 32 /* slots fetched ahead */
};

static const uint64_t number_mask = ((uint64_t)1 << NUMBER_BITS) - 1;

/* A growing array of words within the budget. */
struct words {
    uint64_t *at;
    uint64_t n, room;
};

struct table {
    struct budget *budget;
    uint32_t n_words, k, set_words;
    uint32_t stride; /* words, reached, new in the level being filled */
    uint32_t chunk_shift; /* tiles per chunk, as a power of two */
    VEC(uint64_t *) chunks;
    uint64_t *slots;
    uint64_t n_slots, count;
    /* with tile bits: numbers of tiles that have something new; and the level
     * to walk over, numbers each followed by its combinations */
    struct words touched, level;
    uint64_t level_from, level_until; /* without: numbers of that level */
    /* compact: the set, else NULL; those found in the level being filled and
     * those of the level to walk over; the first of all */
    struct compact *set;
    struct rank filled, walked;
    struct words first;
};

static size_t chunk_bytes(const struct table *t)
{
    return ((size_t)t->stride << t->chunk_shift) * sizeof(uint64_t);
}

static struct table *make(struct budget *budget)
{
    struct table *t = calloc(1, sizeof *t);

    if (!t)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    t->budget = budget;
    return t;
}

struct table *table_of_bits(struct budget *budget, uint32_t bits)
{
    struct table *t = make(budget);

    t->n_words = 1;
    t->set = compact_new(budget, bits);
    rank_init(&t->filled, budget, bits);
    rank_init(&t->walked, budget, bits);
    if (t->set)
        return t;
    table_free(t);
    return NULL;
}

struct table *table_new(struct budget *budget, uint32_t n_words,
                        uint32_t tile_bits)
{
    struct table *t;

    if (n_words == 1 && tile_bits == 0)
        return table_of_bits(budget, 64);
    t = make(budget);
    t->n_words = n_words;
    t->k = tile_bits;
    t->set_words = bits_words(tile_bits);
    t->stride = n_words + 2 * t->set_words;
    while (((uint64_t)2 << t->chunk_shift) * t->stride <= CHUNK_WORDS)
        t->chunk_shift++;
    t->n_slots = FIRST_SLOTS;
    t->slots = budget_take(budget, t->n_slots * sizeof *t->slots);
    if (t->slots)
        return t;
    table_free(t);
    return NULL;
}

static void words_release(struct budget *budget, struct words *r)
{
    budget_give(budget, r->at, r->room * sizeof *r->at);
}

void table_free(struct table *t)
{
    if (!t)
        return;
    for (size_t i = 0; i < t->chunks.n; i++)
        budget_give(t->budget, t->chunks.at[i], chunk_bytes(t));
    budget_give(t->budget, t->slots, t->n_slots * sizeof *t->slots);
    words_release(t->budget, &t->touched);
    words_release(t->budget, &t->level);
    words_release(t->budget, &t->first);
    rank_release(&t->filled);
    rank_release(&t->walked);
    compact_free(t->set);
    vec_release(&t->chunks);
    free(t);
}

/* ---- tiles ---- */

static uint64_t *tile_at(const struct table *t, uint64_t number)
{
    uint64_t inside = number & (((uint64_t)1 << t->chunk_shift) - 1);

    return t->chunks.at[number >> t->chunk_shift] + inside * t->stride;
}

static uint64_t *probe(const struct table *t, const uint64_t *words,
                       uint64_t hash)
{
    uint64_t mask = t->n_slots - 1, i = hash & mask;

    while (t->slots[i] != 0) {
        uint64_t slot = t->slots[i];

        if (((slot ^ hash) & ~number_mask) == 0 &&
            keys_same(tile_at(t, (slot & number_mask) - 1), words,
                      t->n_words))
            break;
        i = (i + 1) & mask;
    }
    return &t->slots[i];
}

static void fill_slots(struct table *t)
{
    uint64_t mask = t->n_slots - 1;

    for (uint64_t n = 0; n < t->count; n++) {
        uint64_t hash = keys_hash(tile_at(t, n), t->n_words), i = hash & mask;

        while (t->slots[i] != 0)
            i = (i + 1) & mask;
        t->slots[i] = (hash & ~number_mask) | (n + 1);
    }
}

/* Grows at a load of 0.7; where there are no bytes for that it goes on to
 * 0.95. */
static bool grow_slots(struct table *t)
{
    uint64_t *made =
        budget_take(t->budget, t->n_slots * 2 * sizeof *made);

    if (!made)
        return t->count * 20 < t->n_slots * 19;
    budget_give(t->budget, t->slots, t->n_slots * sizeof *t->slots);
    t->slots = made;
    t->n_slots *= 2;
    fill_slots(t);
    return true;
}

static bool have_room(struct table *t)
{
    uint64_t *chunk;

    if (t->count + 1 >= number_mask)
        return false;
    if (t->count * 10 >= t->n_slots * 7 && !grow_slots(t))
        return false;
    if (t->count >> t->chunk_shift < t->chunks.n)
        return true;
    chunk = budget_take(t->budget, chunk_bytes(t));
    if (chunk)
        vec_push(&t->chunks, chunk);
    return chunk != NULL;
}

/* ---- adding ---- */

static bool push(struct table *t, struct words *r, uint64_t word)
{
    if (r->n == r->room) {
        uint64_t room = r->room ? r->room * 2 : 512;
        uint64_t *made = budget_take(t->budget, room * sizeof *made);

        if (!made)
            return false;
        if (r->n)
            memcpy(made, r->at, r->n * sizeof *made);
        words_release(t->budget, r);
        r->at = made;
        r->room = room;
    }
    r->at[r->n++] = word;
    return true;
}

/* Notes the combinations that are new in a tile; how many. */
static uint64_t add_set(const struct table *t, uint64_t *tile,
                        const uint64_t *set, bool *untouched)
{
    uint64_t *reached = tile + t->n_words, *fresh = reached + t->set_words;
    uint64_t found = 0, before = 0;

    for (uint32_t i = 0; i < t->set_words; i++) {
        uint64_t more = set[i] & ~reached[i];

        before |= fresh[i];
        reached[i] |= more;
        fresh[i] |= more;
        found += (uint64_t)__builtin_popcountll(more);
    }
    *untouched = before == 0 && found > 0;
    return found;
}

static bool add_one(struct table *t, const uint64_t *entry,
                    const uint64_t *set, uint64_t hash, uint64_t *found)
{
    uint64_t *slot = probe(t, entry, hash), number;
    bool is_new = *slot == 0, untouched;

    if (is_new) {
        if (!have_room(t))
            return false;
        slot = probe(t, entry, hash); /* the index may have grown */
        memcpy(tile_at(t, t->count), entry, t->n_words * sizeof *entry);
        *slot = (hash & ~number_mask) | ++t->count;
    }
    if (t->k == 0) {
        *found += is_new;
        return true;
    }
    number = (*slot & number_mask) - 1;
    *found += add_set(t, tile_at(t, number), set, &untouched);
    return !untouched || push(t, &t->touched, number);
}

/* The memory is slow and can fetch many places at once. */
static void fetch_ahead(const struct table *t, const uint64_t *hash,
                        uint32_t n)
{
    uint64_t mask = t->n_slots - 1;

    for (uint32_t i = 0; i < n; i++)
        __builtin_prefetch(&t->slots[hash[i] & mask]);
    for (uint32_t i = 0; i < n; i++) {
        uint64_t number = t->slots[hash[i] & mask] & number_mask;

        if (number)
            __builtin_prefetch(tile_at(t, number - 1));
    }
}

static bool note_new(struct table *t, uint64_t word)
{
    return rank_push(&t->filled, word) &&
           (t->first.n >= TABLE_FIRST || push(t, &t->first, word));
}

static uint32_t batch_of(uint32_t n)
{
    return n < COMPACT_BATCH ? n : COMPACT_BATCH;
}

static bool add_compact(struct table *t, const uint64_t *entries, uint32_t n,
                        uint32_t stride, uint64_t *found)
{
    const uint64_t *at = entries;
    uint32_t many;

    compact_fetch(t->set, at, batch_of(n), stride);
    for (; n; n -= many, at += (size_t)many * stride) {
        uint32_t is_new;
        bool room;

        many = batch_of(n);
        compact_fetch(t->set, at + (size_t)many * stride, batch_of(n - many),
                      stride);
        room = compact_add(t->set, at, many, stride, &is_new);
        for (; is_new; is_new &= is_new - 1) {
            uint32_t i = (uint32_t)__builtin_ctz(is_new);

            ++*found;
            room &= note_new(t, at[(size_t)i * stride]);
        }
        if (!room)
            return false;
    }
    return true;
}

bool table_add(struct table *t, const uint64_t *entries, uint32_t n,
               uint32_t stride, uint64_t *found)
{
    uint64_t hash[BATCH];

    if (t->set)
        return add_compact(t, entries, n, stride, found);

    for (uint32_t from = 0; from < n; from += BATCH) {
        uint32_t many = n - from < BATCH ? n - from : BATCH;
        const uint64_t *at = entries + (size_t)from * stride;

        for (uint32_t i = 0; i < many; i++)
            hash[i] = keys_hash(at + (size_t)i * stride, t->n_words);
        fetch_ahead(t, hash, many);
        for (uint32_t i = 0; i < many; i++, at += stride)
            if (!add_one(t, at, at + stride - t->set_words, hash[i], found))
                return false;
    }
    return true;
}

/* ---- levels ---- */

static bool turn_compact(struct table *t)
{
    struct rank free = t->walked;

    rank_clear(&free);
    t->walked = t->filled;
    t->filled = free;
    return true;
}

bool table_turn(struct table *t)
{
    if (t->set)
        return turn_compact(t);
    t->level_from = t->level_until;
    t->level_until = t->count;
    t->level.n = 0;
    for (uint64_t i = 0; i < t->touched.n; i++) {
        uint64_t number = t->touched.at[i];
        uint64_t *fresh =
            tile_at(t, number) + t->n_words + t->set_words;

        if (!push(t, &t->level, number))
            return false;
        for (uint32_t w = 0; w < t->set_words; w++) {
            if (!push(t, &t->level, fresh[w]))
                return false;
            fresh[w] = 0;
        }
    }
    t->touched.n = 0;
    return true;
}

uint64_t table_level(const struct table *t)
{
    if (t->set)
        return t->walked.n;
    return t->k == 0 ? t->level_until - t->level_from
                     : t->level.n / (1 + t->set_words);
}

void table_level_at(struct table *t, uint64_t i, uint64_t *entry)
{
    const uint64_t *at;

    if (t->set) {
        *entry = rank_take(&t->walked, i);
        return;
    }
    if (t->k == 0) {
        memcpy(entry, tile_at(t, t->level_from + i),
               t->n_words * sizeof *entry);
        return;
    }
    at = t->level.at + i * (1 + t->set_words);
    memcpy(entry, tile_at(t, at[0]), t->n_words * sizeof *entry);
    memcpy(entry + t->n_words, at + 1, t->set_words * sizeof *entry);
}

uint64_t table_count(const struct table *t)
{
    return t->set ? compact_count(t->set) : t->count;
}

const uint64_t *table_at(const struct table *t, uint64_t number)
{
    if (t->set) {
        ENSURE(number < t->first.n);
        return &t->first.at[number];
    }
    ENSURE(number < t->count);
    return tile_at(t, number);
}

bool table_each(const struct table *t, uint64_t *at, uint64_t *entry)
{
    if (t->set)
        return compact_each(t->set, at, entry);
    if (*at >= t->count)
        return false;
    memcpy(entry, tile_at(t, (*at)++),
           (t->n_words + t->set_words) * sizeof *entry);
    return true;
}

/* ---- several tables instead of one ---- */

static struct table *owner_of(const struct deal *d, const uint64_t *words)
{
    return d->to[keys_owner(words, d->mask, d->to[0]->n_words, d->n)];
}

/* Keys of a compact set, one at a time: it happens once. */
static bool deal_compact(const struct table *from, const struct deal *d)
{
    uint64_t at = 0, key;
    uint32_t is_new;

    while (compact_each(from->set, &at, &key))
        if (!compact_add(owner_of(d, &key)->set, &key, 1, 1, &is_new))
            return false;
    for (uint64_t i = 0; i < from->walked.n; i++) {
        key = rank_look(&from->walked, i);
        if (!rank_push(&owner_of(d, &key)->walked, key))
            return false;
    }
    return true;
}

static bool deal_tiles(const struct table *from, const struct deal *d,
                       uint64_t first, uint64_t last)
{
    for (uint64_t i = first; i < last; i++) {
        const uint64_t *tile = tile_at(from, i);
        uint64_t found = 0;

        if (!add_one(owner_of(d, tile), tile, tile + from->n_words,
                     keys_hash(tile, from->n_words), &found))
            return false;
    }
    return true;
}

static bool turn_all(const struct deal *d)
{
    bool room = true;

    for (uint32_t i = 0; i < d->n; i++)
        room &= table_turn(d->to[i]);
    return room;
}

/* The new combinations of the level. */
static bool deal_level(const struct table *from, const struct deal *d)
{
    uint64_t stride = 1 + from->set_words;

    for (uint32_t i = 0; i < d->n; i++)
        d->to[i]->level.n = 0;
    for (uint64_t i = 0; i < from->level.n; i += stride) {
        const uint64_t *at = from->level.at + i, *tile = tile_at(from, at[0]);
        struct table *own = owner_of(d, tile);
        uint64_t hash = keys_hash(tile, from->n_words);
        bool room = push(own, &own->level,
                         (*probe(own, tile, hash) & number_mask) - 1);

        for (uint32_t w = 1; w < stride; w++)
            room = room && push(own, &own->level, at[w]);
        if (!room)
            return false;
    }
    return true;
}

bool table_deal(const struct table *from, const struct deal *d)
{
    uint64_t before = from->k == 0 ? from->level_from : from->count;

    if (from->set)
        return deal_compact(from, d);
    return deal_tiles(from, d, 0, before) && turn_all(d) &&
           deal_tiles(from, d, before, from->count) &&
           (from->k > 0 ? deal_level(from, d) : turn_all(d));
}
