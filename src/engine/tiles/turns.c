#include "engine/tiles/turns.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/tiles/outline.h"

enum {
    MOST_PASSES = 12,
    MOST_EFFORT = 1 << 25, /* items looked at */
    SIXTEENTHS = 16, /* loads are counted in sixteenths of a bit */
    MOST_LOAD = 60 * SIXTEENTHS
};

struct work {
    const struct turns_task *task;
    uint32_t *order;
    uint32_t *reads, *starts; /* per unit: items that it reads, in a row */
    uint32_t *load;     /* per item: what it weighs while remembered */
    uint32_t *waiting;  /* per item: units not placed that read it */
    uint8_t *read;      /* per item: read by what is placed */
    bool *done;         /* per unit */
    uint32_t *blocked;  /* per unit: others that must come before it */
    /* of an order: per item when it begins and ends, per boundary the change
     * of the load */
    uint32_t *begins, *ends;
    int32_t *change;
};

/* A choice is worth all its bits: nothing else tells it.  Cells and marks
 * depend on one another. */
static uint32_t load_of(const struct scan_form *f, uint32_t item)
{
    uint32_t width = outline_width(f, item);

    if (item < f->slice->n_choices)
        return f->choices[item].count > 2 ? width * 12 : 16;
    if (item < outline_mark_item(f, 0))
        return width * 8;
    return width > 4 ? 64 : width * 14;
}

static uint32_t n_items(const struct work *w)
{
    return w->task->form->n_items;
}

/* ---- one after the other, always what leaves least to remember ---- */

static bool is_ready(const struct work *w, uint32_t unit)
{
    return !w->done[unit] && w->blocked[unit] == 0;
}

static int32_t change_by(const struct work *w, uint32_t unit)
{
    uint32_t n_rows = w->task->form->n_rows;
    const struct unit *u = &w->task->units[unit];
    int32_t sum = 0;

    for (uint32_t r = w->starts[unit]; r < w->starts[unit + 1]; r++) {
        uint32_t i = w->reads[r];
        bool held = i >= n_rows || w->read[i];
        bool later = w->waiting[i] > 1;

        if (held && !later)
            sum -= (int32_t)w->load[i];
        if (!held && later)
            sum += (int32_t)w->load[i];
    }
    for (uint32_t i = 0; i < u->n_makes; i++)
        sum += (int32_t)w->load[u->makes[i]];
    return sum;
}

static uint32_t next_unit(const struct work *w)
{
    uint32_t best = FLAT_NONE;
    int32_t least = 0;

    for (uint32_t u = 0; u < w->task->n; u++) {
        int32_t change;

        if (!is_ready(w, u))
            continue;
        change = change_by(w, u);
        if (best == FLAT_NONE || change < least) {
            best = u;
            least = change;
        }
    }
    ENSURE(best != FLAT_NONE);
    return best;
}

static void place_all(struct work *w)
{
    const struct turns_task *t = w->task;

    for (uint32_t r = 0; r < w->starts[t->n]; r++)
        w->waiting[w->reads[r]]++;
    for (uint32_t a = 0; a < t->n; a++)
        for (uint32_t b = 0; b < t->n; b++)
            w->blocked[b] += t->precedes[(size_t)a * t->n + b];
    for (uint32_t at = 0; at < t->n; at++) {
        uint32_t u = next_unit(w);

        w->order[at] = u;
        w->done[u] = true;
        for (uint32_t b = 0; b < t->n; b++)
            w->blocked[b] -= t->precedes[(size_t)u * t->n + b];
        for (uint32_t r = w->starts[u]; r < w->starts[u + 1]; r++) {
            w->waiting[w->reads[r]]--;
            w->read[w->reads[r]] = 1;
        }
    }
}

/* ---- bettering it ---- */

static void note_lives(struct work *w)
{
    const struct turns_task *t = w->task;

    for (uint32_t i = 0; i < n_items(w); i++) {
        bool there = t->read[i] || (i >= t->form->n_rows &&
                                    i < outline_mark_item(t->form, 0));

        w->begins[i] = there ? 0 : FLAT_NONE;
        w->ends[i] = 0;
    }
    for (uint32_t at = 0; at < t->n; at++) {
        const struct unit *u = &t->units[w->order[at]];
        uint32_t end = w->starts[w->order[at] + 1];

        for (uint32_t r = w->starts[w->order[at]]; r < end; r++) {
            uint32_t i = w->reads[r];

            if (w->begins[i] == FLAT_NONE)
                w->begins[i] = at + 1;
            w->ends[i] = at + 1;
        }
        for (uint32_t i = 0; i < u->n_makes; i++) {
            if (u->makes[i] >= outline_mark_item(t->form, 0))
                w->begins[u->makes[i]] = at + 1;
            else
                w->change[at + 1] += (int32_t)w->load[u->makes[i]];
        }
    }
}

/* About how many half finished scans there are, all boundaries together. */
static uint64_t work_of(struct work *w)
{
    uint32_t n = w->task->n;
    uint64_t sum = 0;
    int32_t load = 0;

    memset(w->change, 0, ((size_t)n + 2) * sizeof *w->change);
    note_lives(w);
    for (uint32_t i = 0; i < n_items(w); i++)
        if (w->begins[i] != FLAT_NONE && w->begins[i] < w->ends[i]) {
            w->change[w->begins[i]] += (int32_t)w->load[i];
            w->change[w->ends[i]] -= (int32_t)w->load[i];
        }
    for (uint32_t at = 0; at <= n; at++) {
        uint32_t sixteenths;

        load += w->change[at];
        sixteenths = load < MOST_LOAD - 300 ? (uint32_t)load : MOST_LOAD - 300;
        sum += ((uint64_t)(16 + sixteenths % 16) << (sixteenths / 16)) / 16;
    }
    return sum;
}

static bool may_swap(const struct work *w, uint32_t at)
{
    const struct turns_task *t = w->task;

    return !t->precedes[(size_t)w->order[at] * t->n + w->order[at + 1]];
}

static void swap(struct work *w, uint32_t at)
{
    uint32_t u = w->order[at];

    w->order[at] = w->order[at + 1];
    w->order[at + 1] = u;
}

/* Moves one unit to its best place; true if that is another. */
static bool better_place(struct work *w, uint32_t unit, uint64_t *least)
{
    uint32_t n = w->task->n, at = 0, best;
    uint64_t before = *least;

    while (w->order[at] != unit)
        at++;
    best = at;
    while (at > 0 && may_swap(w, at - 1))
        swap(w, --at);
    for (;; at++) {
        uint64_t now = work_of(w);

        if (now < *least) {
            *least = now;
            best = at;
        }
        if (at + 1 >= n || !may_swap(w, at))
            break;
        swap(w, at);
    }
    while (at > best)
        swap(w, --at);
    return *least < before;
}

static void better(struct work *w)
{
    uint64_t least = work_of(w), effort = 0;
    uint64_t one = (uint64_t)w->starts[w->task->n] + n_items(w);
    bool more = true;

    for (unsigned pass = 0; pass < MOST_PASSES && more; pass++) {
        more = false;
        for (uint32_t u = 0; u < w->task->n && effort < MOST_EFFORT; u++) {
            more |= better_place(w, u, &least);
            effort += one * w->task->n;
        }
    }
}

static void list_reads(struct work *w, struct arena *arena)
{
    const struct turns_task *t = w->task;
    uint32_t n = 0;

    for (uint32_t u = 0; u < t->n; u++)
        for (uint32_t i = 0; i < n_items(w); i++)
            n += t->units[u].reads[i];
    w->reads = arena_array(arena, n, sizeof *w->reads);
    w->starts = arena_array(arena, (size_t)t->n + 1, sizeof *w->starts);
    n = 0;
    for (uint32_t u = 0; u < t->n; u++) {
        w->starts[u] = n;
        for (uint32_t i = 0; i < n_items(w); i++)
            if (t->units[u].reads[i])
                w->reads[n++] = i;
    }
    w->starts[t->n] = n;
}

const uint32_t *turns_find(struct arena *arena, const struct turns_task *task)
{
    size_t n = task->form->n_items;
    struct work w = {.task = task};

    w.order = arena_array(arena, task->n, sizeof *w.order);
    w.load = arena_array(arena, n, sizeof *w.load);
    w.waiting = arena_array(arena, n, sizeof *w.waiting);
    w.read = arena_array(arena, n, 1);
    w.done = arena_array(arena, task->n, sizeof *w.done);
    w.blocked = arena_array(arena, task->n, sizeof *w.blocked);
    w.begins = arena_array(arena, n, sizeof *w.begins);
    w.ends = arena_array(arena, n, sizeof *w.ends);
    w.change = arena_array(arena, (size_t)task->n + 2, sizeof *w.change);
    memcpy(w.read, task->read, n);
    list_reads(&w, arena);
    for (uint32_t i = 0; i < n; i++)
        w.load[i] = load_of(task->form, i);
    place_all(&w);
    if (task->thorough)
        better(&w);
    return w.order;
}
