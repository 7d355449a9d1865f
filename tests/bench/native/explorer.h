/* explorer.h - the part of a compiled explorer that is the same for every
 * model: breadth first, an open-addressing table of whole situations, keys
 * fetched ahead in batches.  The text that includes it has defined WORDS and
 * written the two ways to expand a situation. */
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <time.h>

#include "task.h"

enum { BATCH = 32 };

struct words { uint64_t w[WORDS]; };

static struct words *slots, *list;
static uint64_t mask, count, room;
static struct words pending[BATCH];
static uint64_t pending_hash[BATCH];
static unsigned n_pending;
static uint64_t leaves;
static uint32_t level, watch_level;

static double at_clock(clockid_t id)
{
    struct timespec t;

    clock_gettime(id, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double wall(void)
{
    return at_clock(CLOCK_MONOTONIC);
}

static double processor(void)
{
    return at_clock(CLOCK_PROCESS_CPUTIME_ID);
}

static void *map(size_t bytes)
{
    void *at = mmap(NULL, bytes, PROT_READ | PROT_WRITE,
                    MAP_PRIVATE | MAP_ANONYMOUS | MAP_NORESERVE, -1, 0);

    if (at == MAP_FAILED)
        abort();
    madvise(at, bytes, MADV_HUGEPAGE);
    return at;
}

static inline uint64_t mix(const struct words *key)
{
    uint64_t h = 0;

    for (int i = 0; i < WORDS; i++) {
        h ^= key->w[i];
        h *= UINT64_C(0x9E3779B97F4A7C15);
        h ^= h >> 32;
    }
    return h;
}

/* The last word of a key never has all its bits: stored with all of them
 * turned over, 0 is an empty slot. */
static inline struct words turned(struct words key)
{
    key.w[WORDS - 1] = ~key.w[WORDS - 1];
    return key;
}

static inline int same(const struct words *a, const struct words *b)
{
    for (int i = WORDS - 1; i >= 0; i--)
        if (a->w[i] != b->w[i])
            return 0;
    return 1;
}

static void put(struct words key, uint64_t h)
{
    uint64_t i = h & mask;

    while (slots[i].w[WORDS - 1])
        i = (i + 1) & mask;
    slots[i] = turned(key);
}

static void grow(void)
{
    munmap(slots, (mask + 1) * sizeof *slots);
    mask = mask * 2 + 1;
    slots = map((mask + 1) * sizeof *slots);
    for (uint64_t i = 0; i < count; i++)
        put(list[i], mix(&list[i]));
}

static void add(struct words key, uint64_t h)
{
    struct words stored = turned(key);
    uint64_t i = h & mask;

    for (; slots[i].w[WORDS - 1]; i = (i + 1) & mask)
        if (same(&slots[i], &stored))
            return;
    if (count >= room)
        abort();
    slots[i] = stored;
    list[count++] = key;
    if (count > mask - mask / 3)
        grow();
}

static void flush(void)
{
    for (unsigned i = 0; i < n_pending; i++)
        add(pending[i], pending_hash[i]);
    n_pending = 0;
}

static inline void emit(struct words key)
{
    uint64_t h = mix(&key);

    leaves++;
    __builtin_prefetch(&slots[h & mask]);
    pending[n_pending] = key;
    pending_hash[n_pending] = h;
    if (++n_pending == BATCH)
        flush();
}

static void expand_first(void);
static void expand(struct words from);
static void expand_all(struct words from);

static void open_table(void)
{
    mask = (1 << 16) - 1;
    room = UINT64_C(1) << 31;
    slots = map((mask + 1) * sizeof *slots);
    list = map(room * sizeof *list);
    count = n_pending = leaves = 0;
    watch_level = 0;
}

static void close_table(void)
{
    munmap(slots, (mask + 1) * sizeof *slots);
    munmap(list, room * sizeof *list);
}

static int stops(const struct native_task *t, double start)
{
    return (t->until && watch_level) ||
           (t->most_expanded && t->expanded >= t->most_expanded) ||
           ((t->expanded & 255) == 0 && wall() - start > t->most_seconds);
}

/* 1: the level was looked at whole. */
static int whole_level(struct native_task *t, uint64_t from, uint64_t to,
                       double start)
{
    for (uint64_t i = from; i < to; i++) {
        expand(list[i]);
        t->expanded++;
        if (stops(t, start)) {
            flush();
            return i + 1 == to;
        }
    }
    flush();
    return 1;
}

static void search(struct native_task *t)
{
    double start = wall(), used = processor();
    uint64_t from = 0, to;

    level = 1;
    expand_first();
    flush();
    while (count > from && t->levels < TASK_LEVELS) {
        to = count;
        t->level_size[t->levels++] = to - from;
        if (t->until && watch_level)
            break;
        level++;
        if (!whole_level(t, from, to, start) || (t->until && watch_level) ||
            wall() - start > t->most_seconds)
            break;
        from = to;
    }
    t->complete = count == from;
    t->seconds = processor() - used;
}

static void take_sample(struct native_task *t)
{
    uint64_t every = count / t->sample + 1, before = leaves, n = 0;
    uint64_t last = count;
    double start = processor();

    for (uint64_t i = 0; i < last; i += every, n++)
        expand_all(list[i]);
    flush();
    t->sample = n;
    t->sample_leaves = leaves - before;
    t->sample_seconds = processor() - start;
}

void native_run(struct native_task *t)
{
    t->complete = 0;
    t->expanded = 0;
    t->levels = 0;
    t->seconds = 0;
    open_table();
    search(t);
    t->situations = count;
    t->leaves = leaves;
    t->watch_level = watch_level;
    t->bytes = (mask + 1) * sizeof *slots + count * sizeof *list;
    if (t->sample)
        take_sample(t);
    close_table();
}
