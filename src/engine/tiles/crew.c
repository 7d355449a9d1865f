#include "engine/tiles/crew.h"

#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/thread.h"
#include "base/vec.h"

/* A chunk is what is handed over at a time; whoever has so many waiting for
 * it is waited for. */
enum { MOST_CHUNK = 1 << 16, LEAST_CHUNK = 1 << 12, MOST_WAITING = 32 };

struct chunk {
    uint64_t *at;
    uint32_t n; /* entries */
};

struct worker {
    struct crew *crew;
    uint32_t number;
    struct thread *thread;  /* none: the caller */
    struct chunk *boxes;    /* per worker: what it will be given */
    VEC(struct chunk) mail; /* what it was given; in the monitor */
};

struct crew {
    struct crew_job job;
    struct budget *budget;
    struct monitor *monitor;
    uint32_t n, most; /* most: entries of a chunk */
    bool together;    /* of this level: each in its thread */
    struct worker *workers;
    /* in the monitor */
    uint64_t level;   /* number of levels begun */
    uint32_t walked, through; /* workers: with walking, with the level */
    bool over;
    VEC(uint64_t *) spare; /* empty chunks */
};

static size_t chunk_bytes(const struct crew *c)
{
    return (size_t)c->most * c->job.stride * sizeof(uint64_t);
}

static bool goes_on(const struct crew *c)
{
    return c->job.goes_on(c->job.context);
}

/* ---- what is handed over ---- */

static bool take(struct crew *c, uint32_t worker, const struct chunk *chunk)
{
    return goes_on(c) &&
           c->job.take(c->job.context, worker, chunk->at, chunk->n);
}

/* In the monitor: takes in one chunk that waits for a worker; false: none
 * does.  The monitor is left for that. */
static bool take_mail(struct crew *c, struct worker *w)
{
    struct chunk chunk;

    if (w->mail.n == 0)
        return false;
    chunk = w->mail.at[--w->mail.n];
    if (w->mail.n + 1 == MOST_WAITING)
        monitor_change(c->monitor);
    monitor_leave(c->monitor);
    take(c, w->number, &chunk);
    monitor_enter(c->monitor);
    vec_push(&c->spare, chunk.at);
    return true;
}

/* In the monitor: gives away a box and gets an empty one; false: stop. */
static bool exchange(struct crew *c, struct worker *w, uint32_t to)
{
    struct worker *other = &c->workers[to];
    uint64_t *fresh;

    while (other->mail.n >= MOST_WAITING && goes_on(c))
        if (!take_mail(c, w))
            monitor_wait(c->monitor);
    fresh = c->spare.n ? c->spare.at[--c->spare.n]
                       : budget_take(c->budget, chunk_bytes(c));
    if (!fresh)
        return false;
    if (other->mail.n == 0)
        monitor_change(c->monitor);
    vec_push(&other->mail, w->boxes[to]);
    w->boxes[to] = (struct chunk){fresh, 0};
    return true;
}

static bool deliver(struct crew *c, struct worker *w, uint32_t to)
{
    struct chunk *box = &w->boxes[to];
    bool fine;

    if (box->n == 0)
        return goes_on(c);
    if (to == w->number || !c->together) {
        fine = take(c, to, box);
        box->n = 0;
        return fine;
    }
    monitor_enter(c->monitor);
    fine = exchange(c, w, to);
    while (fine && take_mail(c, w))
        continue;
    monitor_leave(c->monitor);
    if (!fine)
        c->job.full(c->job.context);
    return goes_on(c);
}

bool crew_hand(struct crew *c, uint32_t from, uint32_t to,
               const uint64_t *entry)
{
    struct worker *w = &c->workers[from];
    struct chunk *box = &w->boxes[to];

    memcpy(box->at + (size_t)box->n * c->job.stride, entry,
           c->job.stride * sizeof *entry);
    return ++box->n < c->most || deliver(c, w, to);
}

/* ---- levels ---- */

static void walk(struct crew *c, struct worker *w)
{
    c->job.walk(c->job.context, w->number);
    for (uint32_t to = 0; to < c->n && deliver(c, w, to); to++)
        continue;
    if (!c->together)
        return;
    monitor_enter(c->monitor);
    c->walked++;
    monitor_change(c->monitor);
    while (goes_on(c) && (w->mail.n > 0 || c->walked < c->n))
        if (!take_mail(c, w))
            monitor_wait(c->monitor);
    c->through++;
    monitor_change(c->monitor);
    monitor_leave(c->monitor);
}

static void be_worker(void *context)
{
    struct worker *w = context;
    struct crew *c = w->crew;

    for (uint64_t level = 1;; level++) {
        bool over;

        monitor_enter(c->monitor);
        while (c->level < level && !c->over)
            monitor_wait(c->monitor);
        over = c->over;
        monitor_leave(c->monitor);
        if (over)
            return;
        walk(c, w);
    }
}

void crew_walk(struct crew *c, bool together)
{
    c->together = together;
    for (uint32_t i = 0; i < c->n && !together; i++)
        walk(c, &c->workers[i]);
    if (!together)
        return;
    monitor_enter(c->monitor);
    c->level++;
    c->walked = c->through = 0;
    monitor_change(c->monitor);
    monitor_leave(c->monitor);
    walk(c, &c->workers[0]);
    monitor_enter(c->monitor);
    while (c->through < c->n)
        monitor_wait(c->monitor);
    monitor_leave(c->monitor);
}

void crew_stop(struct crew *c)
{
    monitor_enter(c->monitor);
    monitor_change(c->monitor);
    monitor_leave(c->monitor);
}

/* ---- beginning and end ---- */

static void *zeroed(size_t n, size_t size)
{
    void *made = calloc(n, size);

    if (!made)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    return made;
}

static void end_threads(struct crew *c)
{
    monitor_enter(c->monitor);
    c->over = true;
    monitor_change(c->monitor);
    monitor_leave(c->monitor);
    for (uint32_t i = 0; i < c->n; i++)
        thread_join(c->workers[i].thread);
}

void crew_free(struct crew *c)
{
    size_t bytes;

    if (!c)
        return;
    bytes = chunk_bytes(c);
    end_threads(c);
    for (uint32_t i = 0; i < c->n; i++) {
        struct worker *w = &c->workers[i];

        for (uint32_t to = 0; to < c->n; to++)
            budget_give(c->budget, w->boxes[to].at, bytes);
        for (size_t m = 0; m < w->mail.n; m++)
            budget_give(c->budget, w->mail.at[m].at, bytes);
        vec_release(&w->mail);
        free(w->boxes);
    }
    for (size_t i = 0; i < c->spare.n; i++)
        budget_give(c->budget, c->spare.at[i], bytes);
    vec_release(&c->spare);
    monitor_free(c->monitor);
    free(c->workers);
    free(c);
}

static bool open_worker(struct crew *c, uint32_t number)
{
    struct worker *w = &c->workers[number];
    bool room = true;

    for (uint32_t to = 0; to < c->n; to++) {
        w->boxes[to].at = budget_take(c->budget, chunk_bytes(c));
        room &= w->boxes[to].at != NULL;
    }
    if (number > 0 && room)
        w->thread = thread_start(be_worker, w);
    return room && (number == 0 || w->thread);
}

struct crew *crew_new(const struct crew_job *job, uint32_t n,
                      struct budget *budget)
{
    struct crew *c = zeroed(1, sizeof *c);
    uint32_t bytes = MOST_CHUNK / n * 2;
    bool fine = true;

    ENSURE(n >= 2 && n <= CREW_MOST);
    c->job = *job;
    c->budget = budget;
    c->n = n;
    if (bytes < LEAST_CHUNK)
        bytes = LEAST_CHUNK;
    c->most = bytes / (job->stride * (uint32_t)sizeof(uint64_t));
    if (c->most == 0)
        c->most = 1;
    c->monitor = monitor_new();
    c->workers = zeroed(n, sizeof *c->workers);
    for (uint32_t i = 0; i < n; i++) {
        c->workers[i].crew = c;
        c->workers[i].number = i;
        c->workers[i].boxes = zeroed(n, sizeof *c->workers[i].boxes);
    }
    for (uint32_t i = 0; i < n && fine; i++)
        fine = open_worker(c, i);
    if (fine)
        return c;
    crew_free(c);
    return NULL;
}
