#include "study/label.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"

/* A list is made small when it has so many boxes; one that stays longer than
 * half of that is given up. */
enum { MOST_BOXES = 256 };

/* Steps spent on one edge: beyond them a box counts as not covered, which
 * leaves the list right, only longer. */
static const uint64_t MOST_STEPS = 4000000;

/* Is a box covered by others?  Room for one box per depth. */
struct cover {
    const struct gathering *g;
    const uint64_t *boxes;
    size_t count;
    size_t skip;     /* a box that does not count, or SIZE_MAX */
    uint64_t *room;  /* (count + 1) boxes */
    uint64_t steps;
};

void gathering_init(struct gathering *g, const uint64_t *full, uint32_t n)
{
    memset(g, 0, sizeof *g);
    g->full = full;
    g->n = n;
    for (uint32_t i = 0; i < n; i++)
        vec_push(&g->common, 0);
}

void gathering_release(struct gathering *g)
{
    vec_release(&g->boxes);
    vec_release(&g->common);
}

static bool disjoint(const uint64_t *a, const uint64_t *b, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if ((a[i] & b[i]) == 0)
            return true;
    return false;
}

static bool inside(const uint64_t *a, const uint64_t *b, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if ((a[i] & ~b[i]) != 0)
            return false;
    return true;
}

/* Is the box at depth `depth` of the room covered by the boxes from number
 * `from` on?  What sticks out of one box must be covered by those behind it;
 * it is cut off side by side, so the depth is at most the number of boxes.
 * The box is cut down on the way. */
static bool covered_from(struct cover *c, size_t depth, size_t from)
{
    uint32_t n = c->g->n;
    uint64_t *box = c->room + depth * n, *piece = box + n;

    for (size_t i = from; i < c->count; i++) {
        const uint64_t *other = c->boxes + i * n;

        if (i == c->skip || disjoint(box, other, n))
            continue;
        for (uint32_t r = 0; r < n; r++) {
            if ((box[r] & ~other[r]) == 0)
                continue;
            if (c->steps++ >= MOST_STEPS)
                return false;
            memcpy(piece, box, n * sizeof *box);
            piece[r] = box[r] & ~other[r];
            if (!covered_from(c, depth + 1, i + 1))
                return false;
            box[r] &= other[r];
        }
        return true;
    }
    return false;
}

static bool covered(struct cover *c, const uint64_t *box)
{
    memcpy(c->room, box, c->g->n * sizeof *box);
    return covered_from(c, 0, 0);
}

/* Widens a box value by value as far as the list covers it. */
static void widen(struct cover *c, uint64_t *box)
{
    for (uint32_t r = 0; r < c->g->n; r++)
        for (uint64_t rest = c->g->full[r] & ~box[r]; rest != 0;
             rest &= rest - 1) {
            uint64_t was = box[r];

            box[r] = rest & -rest; /* only what is new must be covered */
            box[r] = covered(c, box) ? was | box[r] : was;
        }
}

/* The boxes of `from` that lie in no other of them, the first of equals. */
static void drop_inner(struct gathering *g, const uint64_t *from,
                       size_t count)
{
    vec_clear(&g->boxes);
    for (size_t i = 0; i < count; i++) {
        const uint64_t *box = from + i * g->n;
        bool inner = false;

        for (size_t k = 0; k < count && !inner; k++)
            inner = k != i && inside(box, from + k * g->n, g->n) &&
                    (k < i || !inside(from + k * g->n, box, g->n));
        for (uint32_t r = 0; r < g->n && !inner; r++)
            vec_push(&g->boxes, box[r]);
    }
}

/* Takes out boxes that the others cover together, the narrowest news last:
 * from the end of the list. */
static void drop_needless(struct gathering *g, struct cover *c)
{
    c->boxes = g->boxes.at;
    c->count = g->boxes.n / g->n;
    for (size_t i = c->count; i-- > 0;) {
        c->skip = i;
        if (!covered(c, g->boxes.at + i * g->n))
            continue;
        memmove(g->boxes.at + i * g->n, g->boxes.at + (i + 1) * g->n,
                (c->count - i - 1) * g->n * sizeof *g->boxes.at);
        c->count--;
    }
    g->boxes.n = c->count * g->n;
}

static void make_small(struct gathering *g)
{
    struct arena *arena = arena_new();
    size_t count = g->boxes.n / g->n;
    uint64_t *wide = arena_array(arena, g->boxes.n, sizeof *wide);
    struct cover c = {
        .g = g, .boxes = g->boxes.at, .count = count, .skip = SIZE_MAX,
        .room = arena_array(arena, (count + 2) * g->n, sizeof *c.room),
    };

    memcpy(wide, g->boxes.at, g->boxes.n * sizeof *wide);
    for (size_t i = 0; i < count; i++)
        widen(&c, wide + i * g->n);
    drop_inner(g, wide, count);
    drop_needless(g, &c);
    arena_free(arena);
}

void gathering_add(struct gathering *g, const uint64_t *box)
{
    for (uint32_t r = 0; r < g->n; r++) {
        ENSURE(box[r] != 0 && (box[r] & ~g->full[r]) == 0);
        g->common.at[r] |= box[r];
    }
    if (g->too_many || g->n == 0)
        return;
    for (size_t at = 0; at < g->boxes.n; at += g->n)
        if (inside(box, g->boxes.at + at, g->n))
            return;
    for (uint32_t r = 0; r < g->n; r++)
        vec_push(&g->boxes, box[r]);
    if (g->boxes.n / g->n < MOST_BOXES)
        return;
    make_small(g);
    g->too_many = g->boxes.n / g->n > MOST_BOXES / 2;
}

static const uint64_t *keep(struct arena *arena, const uint64_t *at,
                            size_t n)
{
    uint64_t *copy = arena_array(arena, n, sizeof *copy);

    if (n > 0)
        memcpy(copy, at, n * sizeof *copy);
    return copy;
}

struct label gathering_label(struct gathering *g, struct arena *arena)
{
    struct label label = {.common = keep(arena, g->common.at, g->n)};
    size_t count;

    if (g->n == 0) { /* nothing can be said: one box that leaves all open */
        label.groups = label.common;
        label.n_groups = 1;
        return label;
    }
    if (g->too_many)
        return label;
    ENSURE(g->boxes.n > 0);
    make_small(g);
    count = g->boxes.n / g->n;
    if (count > LABEL_MOST_GROUPS)
        return label;
    label.groups = keep(arena, g->boxes.at, g->boxes.n);
    label.n_groups = (uint32_t)count;
    return label;
}
