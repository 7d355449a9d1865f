#include "engine/tiles/rank.h"

#include <string.h>

#include "base/ensure.h"

/* Chunks grow with what they hold until they have their full size, so that
 * short levels, of which there are many, take little. */
enum { FIRST_BYTES = 1 << 12, CHUNK_BYTES = 1 << 18 };

void rank_init(struct rank *r, struct budget *budget, uint32_t bits)
{
    *r = (struct rank){.budget = budget, .room = FIRST_BYTES};
    r->key_bytes = bits <= 8 ? 1 : (bits + 7) / 8;
    r->per_chunk = (CHUNK_BYTES - 8) / r->key_bytes;
}

/* Of chunk number i. */
static uint64_t bytes_of(const struct rank *r, size_t i)
{
    return i == 0 ? r->room : CHUNK_BYTES;
}

static void give(struct rank *r, size_t i)
{
    budget_give(r->budget, r->chunks.at[i], bytes_of(r, i));
    r->chunks.at[i] = NULL;
}

/* One small chunk is kept: the next level will need it. */
void rank_clear(struct rank *r)
{
    bool keep = r->chunks.n > 0 && r->room == FIRST_BYTES && r->chunks.at[0];

    for (size_t i = keep; i < r->chunks.n; i++)
        give(r, i);
    r->chunks.n = keep;
    r->n = 0;
    if (!keep) {
        vec_release(&r->chunks);
        r->room = FIRST_BYTES;
    }
}

void rank_release(struct rank *r)
{
    for (size_t i = 0; i < r->chunks.n; i++)
        give(r, i);
    vec_release(&r->chunks);
    r->n = 0;
}

static bool widen_first(struct rank *r)
{
    unsigned char *made = budget_take(r->budget, r->room * 2);

    if (!made)
        return false;
    memcpy(made, r->chunks.at[0], r->room);
    give(r, 0);
    r->room *= 2;
    r->chunks.at[0] = made;
    return true;
}

static bool have_room(struct rank *r, uint64_t chunk, uint64_t end)
{
    unsigned char *made;

    if (chunk < r->chunks.n)
        return end <= bytes_of(r, chunk) || widen_first(r);
    made = budget_take(r->budget, bytes_of(r, chunk));
    if (made)
        vec_push(&r->chunks, made);
    return made != NULL;
}

/* Whole words are written, low bytes first: those too many are written over
 * by what follows. */
bool rank_push(struct rank *r, uint64_t key)
{
    uint64_t chunk = r->n / r->per_chunk;
    uint64_t at = r->n % r->per_chunk * r->key_bytes;

    if ((chunk >= r->chunks.n || at + sizeof key > bytes_of(r, chunk)) &&
        !have_room(r, chunk, at + sizeof key))
        return false;
    memcpy(r->chunks.at[chunk] + at, &key, sizeof key);
    r->n++;
    return true;
}

uint64_t rank_look(const struct rank *r, uint64_t i)
{
    uint64_t chunk = i / r->per_chunk, inside = i % r->per_chunk, key;

    ENSURE(i < r->n);
    memcpy(&key, r->chunks.at[chunk] + inside * r->key_bytes, sizeof key);
    return r->key_bytes == 8
               ? key
               : key & (((uint64_t)1 << 8 * r->key_bytes) - 1);
}

uint64_t rank_take(struct rank *r, uint64_t i)
{
    uint64_t chunk = i / r->per_chunk;

    if (i % r->per_chunk == 0 && chunk > 0 && r->chunks.at[chunk - 1])
        give(r, chunk - 1);
    return rank_look(r, i);
}
