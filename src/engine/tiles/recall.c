#include "engine/tiles/recall.h"

#include <string.h>

#include "engine/tiles/keys.h"

enum {
    FIRST_SLOTS = 1 << 8,
    FIRST_ROOM = 1 << 10,
    TRIAL = 1 << 16,    /* misses before a memo may give up */
    MOST_ROOM = 1 << 22  /* words */
};

void recall_init(struct memo *m, struct budget *budget, uint32_t key_words)
{
    *m = (struct memo){.budget = budget, .key_words = key_words};
}

void recall_release(struct memo *m)
{
    budget_give(m->budget, m->slots, m->n_slots * sizeof *m->slots);
    budget_give(m->budget, m->pool, m->room * sizeof *m->pool);
    m->slots = NULL;
    m->pool = NULL;
    m->n_slots = m->n_records = m->used = m->room = 0;
}

static bool is_record(const struct memo *m, uint32_t slot,
                      const uint64_t *key)
{
    const uint64_t *at = m->pool + slot - 1;

    return at[0] == key[0] &&
           (m->key_words == 1 || keys_same(at, key, m->key_words));
}

static uint32_t *probe(const struct memo *m, const uint64_t *key)
{
    uint64_t mask = m->n_slots - 1, i = keys_hash(key, m->key_words) & mask;

    while (m->slots[i] && !is_record(m, m->slots[i], key))
        i = (i + 1) & mask;
    return &m->slots[i];
}

const uint64_t *recall_find(struct memo *m, const uint64_t *key)
{
    const uint32_t *slot;

    if (m->n_slots) {
        slot = probe(m, key);
        if (*slot) {
            m->hits++;
            return m->pool + *slot - 1;
        }
    }
    m->misses++;
    return NULL;
}

static bool grow_pool(struct memo *m, uint64_t need)
{
    uint64_t room = m->room ? m->room : FIRST_ROOM;
    uint64_t *made;

    while (room < m->used + need)
        room *= 2;
    if (room == m->room)
        return true;
    if (room > MOST_ROOM)
        return false;
    made = budget_take(m->budget, room * sizeof *made);
    if (!made)
        return false;
    if (m->pool)
        memcpy(made, m->pool, m->used * sizeof *made);
    budget_give(m->budget, m->pool, m->room * sizeof *m->pool);
    m->pool = made;
    m->room = room;
    return true;
}

static bool grow_slots(struct memo *m)
{
    uint32_t *old = m->slots, *made;
    uint64_t n_old = m->n_slots;

    if (n_old && m->n_records * 2 < n_old)
        return true;
    m->n_slots = n_old ? n_old * 2 : FIRST_SLOTS;
    made = budget_take(m->budget, m->n_slots * sizeof *made);
    if (!made) {
        m->n_slots = n_old;
        return false;
    }
    m->slots = made;
    for (uint64_t i = 0; i < n_old; i++)
        if (old[i])
            *probe(m, m->pool + old[i] - 1) = old[i];
    budget_give(m->budget, old, n_old * sizeof *old);
    return true;
}

/* Working out takes many times as long as looking up, as a rule: one hit in
 * five is enough.  Where it is cheap, only what is nearly always there and
 * lies in the near caches is found faster.  A full memo that is worth its
 * bytes begins anew. */
static bool pays(const struct memo *m)
{
    if (m->cheap)
        return m->misses < TRIAL || m->hits > m->misses * 4;
    return m->misses < TRIAL || m->hits * 4 > m->misses;
}

void recall_add(struct memo *m, const uint64_t *record, uint64_t n)
{
    if (!m->given_up && pays(m) && (!grow_pool(m, n) || !grow_slots(m)))
        recall_release(m);
    if (!pays(m)) {
        recall_release(m);
        m->given_up = true;
    }
    if (m->given_up || !grow_pool(m, n) || !grow_slots(m))
        return;
    memcpy(m->pool + m->used, record, n * sizeof *record);
    *probe(m, record) = (uint32_t)m->used + 1;
    m->used += n;
    m->n_records++;
}
