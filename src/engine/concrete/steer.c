#include "engine/concrete/steer.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "base/vec.h"
#include "engine/concrete/expand.h"
#include "engine/concrete/pack.h"
#include "engine/concrete/plan.h"
#include "engine/concrete/store.h"

enum {
    FIRST_SLOTS = 1024,
    WAYS_PER_LOOK = 1 << 12,
    MOST_WAYS = 1 << 25, /* remembered; then they are forgotten, and found
                            again where they are needed */
};

/* One way through a scan. */
struct way {
    uint32_t to, marks;
};

/* The ways from a situation under a grip. */
struct ways {
    uint64_t key; /* 0: free */
    uint32_t first, n;
};

struct place {
    size_t first;
    uint32_t n;
    uint64_t hash;
};

struct steer {
    struct arena *arena;
    const struct slice *slice;
    struct explore_setting setting;
    enum explore_end end;
    const struct pack *pack;
    struct store *store;
    struct expander *next;
    uint64_t looked;            /* ways found */
    const uint32_t *marks;      /* value of the slice */
    uint32_t n_marks, n_words;  /* of a set of marks */
    VEC(uint64_t) mark_sets;
    VEC(uint32_t) mark_slots;   /* 1 + number, 0: free */
    VEC(const uint32_t *) grips;
    uint32_t gripped;           /* what `next` has fixed */
    VEC(struct way) ways;
    VEC(struct ways) known;
    size_t n_known;
    VEC(uint32_t) situations;   /* of all places, ascending in each */
    VEC(struct place) places;
    VEC(uint32_t) slots;        /* 1 + place, 0: free */
    VEC(uint32_t) stamps;       /* per situation */
    uint32_t stamp;
    VEC(uint32_t) now, after, gathered; /* while scans are run */
    uint64_t *all_marks;        /* in every way of the scan at hand */
};

/* ---- limits ---- */

static uint64_t bytes_of(const struct steer *s)
{
    return store_bytes(s->store) + s->ways.cap * sizeof *s->ways.at +
           s->known.cap * sizeof *s->known.at +
           s->situations.cap * sizeof *s->situations.at +
           s->places.cap * sizeof *s->places.at;
}

static void look_at_limits(struct steer *s)
{
    if (s->end != EXPLORE_COMPLETE)
        return;
    if (s->setting.most_situations != 0 &&
        store_count(s->store) > s->setting.most_situations)
        s->end = EXPLORE_SITUATIONS;
    else if (s->setting.most_bytes != 0 &&
             bytes_of(s) > s->setting.most_bytes)
        s->end = EXPLORE_MEMORY;
    else if (s->setting.interrupted != NULL &&
             s->setting.interrupted(s->setting.interrupted_context))
        s->end = EXPLORE_INTERRUPTED;
}

enum explore_end steer_end(struct steer *s)
{
    look_at_limits(s);
    return s->end;
}

/* ---- situations ---- */

static uint32_t number_of(struct steer *s, const uint64_t *words)
{
    uint64_t number;

    if (store_count(s->store) >= UINT32_MAX / 2 ||
        store_add(s->store, words, &number) == STORE_FULL) {
        s->end = EXPLORE_MEMORY;
        return 0;
    }
    while (s->stamps.n <= number)
        vec_push(&s->stamps, 0);
    return (uint32_t)number;
}

static int64_t value_of(const struct steer *s, uint32_t situation,
                        uint32_t cell)
{
    return pack_get(&s->pack->fields[cell], store_at(s->store, situation));
}

static bool is_at(const struct steer *s, uint32_t situation,
                  struct steer_at at)
{
    return at.cell == FLAT_NONE ||
           value_of(s, situation, at.cell) == at.value;
}

/* A set of situations is begun. */
static void new_stamp(struct steer *s)
{
    if (++s->stamp == 0) {
        memset(s->stamps.at, 0, s->stamps.n * sizeof *s->stamps.at);
        s->stamp = 1;
    }
}

/* False: it was in the set already. */
static bool stamp_on(struct steer *s, uint32_t situation)
{
    if (s->stamps.at[situation] == s->stamp)
        return false;
    s->stamps.at[situation] = s->stamp;
    return true;
}

/* ---- places ---- */

static int by_number(const void *a, const void *b)
{
    uint32_t x = *(const uint32_t *)a, y = *(const uint32_t *)b;

    return (x > y) - (x < y);
}

static uint64_t hash_of(const uint32_t *list, uint32_t n)
{
    return hash_bytes((const char *)list, n * sizeof *list);
}

static bool is_place(const struct steer *s, uint32_t place, uint64_t hash,
                     const uint32_t *list, uint32_t n)
{
    const struct place *at = &s->places.at[place];

    return at->hash == hash && at->n == n &&
           (n == 0 || memcmp(s->situations.at + at->first, list,
                             n * sizeof *list) == 0);
}

static void make_slots(struct steer *s, size_t n)
{
    vec_reserve(&s->slots, n);
    s->slots.n = n;
    memset(s->slots.at, 0, n * sizeof *s->slots.at);
    for (uint32_t i = 0; i < s->places.n; i++) {
        size_t slot = s->places.at[i].hash & (n - 1);

        while (s->slots.at[slot] != 0)
            slot = (slot + 1) & (n - 1);
        s->slots.at[slot] = i + 1;
    }
}

/* The list is put in order; each situation stands in it once. */
static uint32_t place_of(struct steer *s, uint32_t *list, size_t many)
{
    uint32_t n = (uint32_t)many;
    size_t mask = s->slots.n - 1, slot;
    uint64_t hash;

    if (n > 1)
        qsort(list, n, sizeof *list, by_number);
    hash = hash_of(list, n);
    for (slot = hash & mask; s->slots.at[slot] != 0; slot = (slot + 1) & mask)
        if (is_place(s, s->slots.at[slot] - 1, hash, list, n))
            return s->slots.at[slot] - 1;
    vec_push(&s->places, ((struct place){s->situations.n, n, hash}));
    s->slots.at[slot] = (uint32_t)s->places.n;
    for (uint32_t i = 0; i < n; i++)
        vec_push(&s->situations, list[i]);
    if (s->places.n * 2 > s->slots.n)
        make_slots(s, s->slots.n * 2);
    return (uint32_t)s->places.n - 1;
}

static const uint32_t *list_of(const struct steer *s, uint32_t place)
{
    return s->situations.at + s->places.at[place].first;
}

uint32_t steer_keep(struct steer *s, uint32_t place, struct steer_at at)
{
    vec_clear(&s->after);
    for (uint32_t i = 0; i < s->places.at[place].n; i++) {
        uint32_t situation = list_of(s, place)[i];

        if (is_at(s, situation, at))
            vec_push(&s->after, situation);
    }
    return place_of(s, s->after.at, s->after.n);
}

uint32_t steer_join(struct steer *s, uint32_t a, uint32_t b)
{
    const uint32_t both[2] = {a, b};

    new_stamp(s);
    vec_clear(&s->after);
    for (int k = 0; k < 2; k++)
        for (uint32_t i = 0; i < s->places.at[both[k]].n; i++)
            if (stamp_on(s, list_of(s, both[k])[i]))
                vec_push(&s->after, list_of(s, both[k])[i]);
    return place_of(s, s->after.at, s->after.n);
}

uint32_t steer_nowhere(struct steer *s)
{
    return place_of(s, NULL, 0);
}

bool steer_is_empty(const struct steer *s, uint32_t place)
{
    return s->places.at[place].n == 0;
}

bool steer_sure(struct steer *s, uint32_t place, uint32_t cell,
                int64_t *value)
{
    const uint32_t *list = list_of(s, place);

    ENSURE(s->places.at[place].n > 0);
    *value = value_of(s, list[0], cell);
    for (uint32_t i = 1; i < s->places.at[place].n; i++)
        if (value_of(s, list[i], cell) != *value)
            return false;
    return true;
}

/* ---- marks ---- */

static void make_mark_slots(struct steer *s, size_t n)
{
    size_t sets = s->mark_sets.n / s->n_words;

    vec_reserve(&s->mark_slots, n);
    s->mark_slots.n = n;
    memset(s->mark_slots.at, 0, n * sizeof *s->mark_slots.at);
    for (uint32_t i = 0; i < sets; i++) {
        size_t slot = hash_words(&s->mark_sets.at[(size_t)i * s->n_words],
                                 s->n_words) & (n - 1);

        while (s->mark_slots.at[slot] != 0)
            slot = (slot + 1) & (n - 1);
        s->mark_slots.at[slot] = i + 1;
    }
}

static uint32_t mark_set_of(struct steer *s, const uint64_t *words)
{
    size_t size = s->n_words * sizeof *words, mask = s->mark_slots.n - 1;
    size_t slot = hash_words(words, s->n_words) & mask, sets;

    for (; s->mark_slots.at[slot] != 0; slot = (slot + 1) & mask)
        if (memcmp(&s->mark_sets.at[(size_t)(s->mark_slots.at[slot] - 1) *
                                    s->n_words], words, size) == 0)
            return s->mark_slots.at[slot] - 1;
    for (uint32_t i = 0; i < s->n_words; i++)
        vec_push(&s->mark_sets, words[i]);
    sets = s->mark_sets.n / s->n_words;
    s->mark_slots.at[slot] = (uint32_t)sets;
    if (sets * 2 > s->mark_slots.n)
        make_mark_slots(s, s->mark_slots.n * 2);
    return (uint32_t)sets - 1;
}

/* Of the leaf at hand. */
static uint32_t read_marks(struct steer *s)
{
    uint64_t *words = s->all_marks + s->n_words; /* spare */

    memset(words, 0, s->n_words * sizeof *words);
    for (uint32_t i = 0; i < s->n_marks; i++)
        if (expander_value(s->next,
                           s->next->plan->values.at[s->marks[i]]) != 0)
            words[i / 64] |= (uint64_t)1 << i % 64;
    return mark_set_of(s, words);
}

static bool has_mark(const struct steer *s, uint32_t set, uint32_t mark)
{
    return s->mark_sets.at[(size_t)set * s->n_words + mark / 64] >>
               mark % 64 & 1;
}

/* ---- ways ---- */

uint32_t steer_grip(struct steer *s, const uint32_t *fixed)
{
    size_t n = s->slice->n_choices;
    uint32_t *copy;

    for (uint32_t i = 0; i < s->grips.n; i++)
        if (memcmp(s->grips.at[i], fixed, n * sizeof *fixed) == 0)
            return i;
    copy = arena_array(s->arena, n + 1, sizeof *copy);
    memcpy(copy, fixed, n * sizeof *copy);
    vec_push(&s->grips, copy);
    return (uint32_t)s->grips.n - 1;
}

static struct ways *slot_of(struct steer *s, uint64_t key)
{
    size_t mask = s->known.n - 1, slot = hash_word(key) & mask;

    while (s->known.at[slot].key != 0 && s->known.at[slot].key != key)
        slot = (slot + 1) & mask;
    return &s->known.at[slot];
}

static void make_known(struct steer *s, size_t n)
{
    struct ways *old = s->known.at;
    size_t n_old = s->known.n;

    s->known.at = NULL;
    s->known.n = s->known.cap = 0;
    vec_reserve(&s->known, n);
    s->known.n = n;
    memset(s->known.at, 0, n * sizeof *s->known.at);
    for (size_t i = 0; i < n_old; i++)
        if (old[i].key != 0)
            *slot_of(s, old[i].key) = old[i];
    vec_free(old);
}

static void forget_ways(struct steer *s)
{
    vec_clear(&s->ways);
    memset(s->known.at, 0, s->known.n * sizeof *s->known.at);
    s->n_known = 0;
}

static void find_ways(struct steer *s, uint32_t from)
{
    enum fork_event event;

    expander_begin(s->next, store_at(s->store, from));
    while ((event = expander_next(s->next)) != FORK_DONE) {
        struct way way;

        if (++s->looked % WAYS_PER_LOOK == 0)
            look_at_limits(s);
        if (event != FORK_LEAF || s->next->fork->ended != FLAT_NONE)
            continue;
        way.marks = read_marks(s);
        way.to = number_of(s, expander_target(s->next));
        vec_push(&s->ways, way);
    }
}

static struct ways ways_of(struct steer *s, uint32_t grip, uint32_t from)
{
    uint64_t key = (uint64_t)(grip + 1) << 32 | from;
    struct ways *known = slot_of(s, key);
    struct ways found = {key, 0, 0};

    if (known->key == key)
        return *known;
    if (s->ways.n > MOST_WAYS)
        forget_ways(s);
    if (s->gripped != grip)
        expander_fix(s->next, s->grips.at[grip]);
    s->gripped = grip;
    found.first = (uint32_t)s->ways.n;
    find_ways(s, from);
    found.n = (uint32_t)(s->ways.n - found.first);
    *slot_of(s, key) = found;
    if (++s->n_known * 2 > s->known.n)
        make_known(s, s->known.n * 2);
    return found;
}

/* ---- scans ---- */

static bool is_held(const struct steer *s, uint32_t situation,
                    const struct steer_scans *scans)
{
    for (uint32_t i = 0; i < scans->n_held; i++)
        if (!is_at(s, situation, scans->held[i]))
            return false;
    return true;
}

static void follow(struct steer *s, const struct steer_scans *scans,
                   uint32_t from)
{
    struct ways ways = ways_of(s, scans->grip, from);

    for (uint32_t i = 0; i < ways.n; i++) {
        struct way way = s->ways.at[ways.first + i];

        if (!is_held(s, way.to, scans) ||
            (scans->avoid != FLAT_NONE &&
             has_mark(s, way.marks, scans->avoid)))
            continue;
        if (stamp_on(s, way.to))
            vec_push(&s->after, way.to);
        for (uint32_t w = 0; w < s->n_words; w++)
            s->all_marks[w] &=
                s->mark_sets.at[(size_t)way.marks * s->n_words + w];
    }
}

/* False: nothing changes any more. */
static bool one_scan(struct steer *s, const struct steer_scans *scans)
{
    bool changed;

    new_stamp(s);
    vec_clear(&s->after);
    memset(s->all_marks, 0xff, s->n_words * sizeof *s->all_marks);
    for (size_t i = 0; i < s->now.n && s->end == EXPLORE_COMPLETE; i++)
        follow(s, scans, s->now.at[i]);
    if (s->after.n > 1)
        qsort(s->after.at, s->after.n, sizeof *s->after.at, by_number);
    changed = s->after.n != s->now.n ||
              (s->now.n > 0 && memcmp(s->after.at, s->now.at,
                                      s->now.n * sizeof *s->now.at) != 0);
    vec_clear(&s->now);
    for (size_t i = 0; i < s->after.n; i++)
        vec_push(&s->now, s->after.at[i]);
    return changed;
}

static void note_happened(struct steer *s, bool *happened)
{
    for (uint32_t i = 0; i < s->n_marks; i++)
        happened[i] = happened[i] ||
                      (s->all_marks[i / 64] >> i % 64 & 1) != 0;
}

/* False: nothing was added, so no later scan adds anything either, if all
 * scans since the first one gathered were. */
static bool gather(struct steer *s)
{
    size_t before = s->gathered.n;

    new_stamp(s);
    for (size_t i = 0; i < before; i++)
        stamp_on(s, s->gathered.at[i]);
    for (size_t i = 0; i < s->now.n; i++)
        if (stamp_on(s, s->now.at[i]))
            vec_push(&s->gathered, s->now.at[i]);
    return s->gathered.n > before;
}

uint32_t steer_scans(struct steer *s, uint32_t place,
                     const struct steer_scans *scans)
{
    bool changes = true;

    vec_clear(&s->now);
    vec_clear(&s->gathered);
    for (uint32_t i = 0; i < s->places.at[place].n; i++)
        vec_push(&s->now, list_of(s, place)[i]);
    if (scans->least == 0)
        gather(s);
    for (uint64_t scan = 1; scan <= scans->most && changes &&
                            s->now.n > 0 && s->end == EXPLORE_COMPLETE;
         scan++) {
        changes = one_scan(s, scans);
        if (scans->happened != NULL && scan <= scans->least && s->now.n > 0)
            note_happened(s, scans->happened);
        if (scan >= scans->least || !changes)
            changes = gather(s) && changes;
    }
    return place_of(s, s->gathered.at, s->gathered.n);
}

/* ---- what moves ---- */

/* Of one cell: which values it can get, by number above its lowest; and
 * where it cannot change. */
struct moving {
    uint32_t cell;
    bool *gets;
    uint32_t n_stuck; /* values at which it cannot, 2: several */
    int64_t stuck;    /* the first of them */
};

static void note_moving(struct steer *s, const struct steer_scans *scans,
                        uint32_t from, struct moving *moving)
{
    struct ways ways = ways_of(s, scans->grip, from);
    int64_t was = value_of(s, from, moving->cell);
    int64_t low = s->slice->cells[moving->cell].low;
    bool changes = false;

    for (uint32_t i = 0; i < ways.n; i++) {
        int64_t is = value_of(s, s->ways.at[ways.first + i].to, moving->cell);

        changes = changes || is != was;
        if (is != was && moving->gets != NULL)
            moving->gets[is - low] = true;
    }
    if (changes || (moving->n_stuck > 0 && moving->stuck == was))
        return;
    moving->n_stuck++;
    moving->stuck = was;
}

static struct moving moving_in(struct steer *s,
                               const struct steer_scans *scans,
                               const struct place *place, uint32_t cell,
                               bool *gets)
{
    struct moving moving = {.cell = cell, .gets = gets};

    for (uint32_t i = 0; i < place->n; i++)
        note_moving(s, scans, s->situations.at[place->first + i], &moving);
    return moving;
}

void steer_driven(struct steer *s, uint32_t place,
                  const struct steer_scans *so, uint32_t cell, bool *to)
{
    uint64_t n = (uint64_t)(s->slice->cells[cell].high -
                            s->slice->cells[cell].low) + 1;
    bool *gets = arena_array(s->arena, n, sizeof *gets);
    struct steer_scans one = *so;

    one.least = one.most = 1;
    for (uint64_t scan = 0; scan < so->least; scan++) {
        struct place at = s->places.at[place];
        struct moving moving = moving_in(s, so, &at, cell, NULL);
        uint32_t next;

        for (uint64_t i = 0; i < n; i++)
            to[i] = to[i] || moving.n_stuck == 0 ||
                    (moving.n_stuck == 1 &&
                     moving.stuck ==
                         s->slice->cells[cell].low + (int64_t)i);
        next = steer_scans(s, place, &one);
        if (next == place)
            break;
        place = next;
    }
    one.least = 0;
    one.most = UINT64_MAX;
    place = steer_scans(s, place, &one);
    moving_in(s, so, &s->places.at[place], cell, gets);
    for (uint64_t i = 0; i < n; i++)
        to[i] = to[i] && gets[i];
}

/* ---- where it begins ---- */

uint32_t steer_first(struct steer *s, const uint32_t *fixed)
{
    struct arena *arena = arena_new();
    struct expander *first = expander_new(arena, s->slice, s->pack, true,
                                          PLAN_BARE);
    enum fork_event event;

    new_stamp(s);
    vec_clear(&s->after);
    expander_fix(first, fixed);
    expander_begin(first, NULL);
    while ((event = expander_next(first)) != FORK_DONE &&
           s->end == EXPLORE_COMPLETE)
        if (event == FORK_LEAF && first->fork->ended == FLAT_NONE) {
            uint32_t to = number_of(s, expander_target(first));

            if (stamp_on(s, to))
                vec_push(&s->after, to);
            if (++s->looked % WAYS_PER_LOOK == 0)
                look_at_limits(s);
        }
    arena_free(arena);
    return place_of(s, s->after.at, s->after.n);
}

uint32_t steer_reached(struct steer *s, uint64_t most)
{
    struct explore_setting setting = s->setting;
    struct exploration *all;
    uint64_t *words = arena_array(s->arena, s->pack->n_words, sizeof *words);

    if (setting.most_situations == 0 || setting.most_situations > most)
        setting.most_situations = most;
    all = explore(s->slice, &setting);
    vec_clear(&s->after);
    for (uint64_t i = 0; exploration_end(all) == EXPLORE_COMPLETE &&
                         i < exploration_situations(all) &&
                         s->end == EXPLORE_COMPLETE; i++) {
        memset(words, 0, s->pack->n_words * sizeof *words);
        for (uint32_t c = 0; c < s->pack->n_fields; c++)
            pack_put(&s->pack->fields[c], words,
                     exploration_value(all, i, c));
        vec_push(&s->after, number_of(s, words));
    }
    exploration_free(all);
    return place_of(s, s->after.at, s->after.n);
}

/* Each situation of the list with any value in one cell: the bits of the cell
 * are cleared, and set anew. */
static void widen_cell(struct steer *s, uint32_t cell, uint64_t most)
{
    const struct pack_field *field = &s->pack->fields[cell];
    uint32_t n_words = s->pack->n_words;
    uint64_t *words = arena_array(s->arena, n_words, sizeof *words);
    uint64_t mask = field->bits == 0
                        ? 0 : (UINT64_MAX >> (64 - field->bits))
                                  << field->shift;

    new_stamp(s);
    vec_clear(&s->gathered);
    for (size_t i = 0; i < s->after.n && s->gathered.n <= most; i++)
        for (uint64_t u = 0; u <= field->most; u++) {
            uint32_t to;

            memcpy(words, store_at(s->store, s->after.at[i]),
                   n_words * sizeof *words);
            words[field->word] &= ~mask;
            pack_put(field, words,
                     field->low + (int64_t)(u * field->unit));
            to = number_of(s, words);
            if (stamp_on(s, to))
                vec_push(&s->gathered, to);
        }
    vec_clear(&s->after);
    for (size_t i = 0; i < s->gathered.n; i++)
        vec_push(&s->after, s->gathered.at[i]);
}

uint32_t steer_widen(struct steer *s, uint32_t place, const bool *any,
                     uint64_t most)
{
    vec_clear(&s->after);
    for (uint32_t i = 0; i < s->places.at[place].n; i++)
        vec_push(&s->after, list_of(s, place)[i]);
    for (uint32_t c = 0; c < s->slice->n_cells && s->after.n <= most &&
                         s->end == EXPLORE_COMPLETE; c++)
        if (any[c])
            widen_cell(s, c, most);
    return s->after.n <= most ? place_of(s, s->after.at, s->after.n)
                              : steer_nowhere(s);
}

/* ---- a run ---- */

struct steer *steer_open(const struct slice *slice,
                         const struct explore_setting *setting,
                         const uint32_t *marks, uint32_t n_marks)
{
    struct arena *arena = arena_new();
    struct steer *s = ARENA_NEW(arena, struct steer);

    s->arena = arena;
    s->slice = slice;
    s->setting = *setting;
    s->end = EXPLORE_COMPLETE;
    s->pack = pack_new(arena, slice);
    s->store = store_new(s->pack->n_words, setting->most_bytes);
    s->next = expander_new(arena, slice, s->pack, false, PLAN_VALUES);
    s->gripped = FLAT_NONE;
    s->marks = marks;
    s->n_marks = n_marks;
    s->n_words = n_marks / 64 + 1;
    s->all_marks = arena_array(arena, (size_t)s->n_words * 2,
                               sizeof *s->all_marks);
    make_mark_slots(s, FIRST_SLOTS);
    make_known(s, FIRST_SLOTS);
    make_slots(s, FIRST_SLOTS);
    return s;
}

void steer_close(struct steer *s)
{
    if (s == NULL)
        return;
    store_free(s->store);
    vec_release(&s->mark_sets);
    vec_release(&s->mark_slots);
    vec_release(&s->grips);
    vec_release(&s->ways);
    vec_release(&s->known);
    vec_release(&s->situations);
    vec_release(&s->places);
    vec_release(&s->slots);
    vec_release(&s->stamps);
    vec_release(&s->now);
    vec_release(&s->after);
    vec_release(&s->gathered);
    arena_free(s->arena);
}
