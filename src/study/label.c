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

/* A list of boxes with those that never occur behind it. */
static uint64_t *join(struct arena *arena, const struct gathering *g,
                      const struct never *never)
{
    size_t words = never->count * g->n;
    uint64_t *list = arena_array(arena, g->boxes.n + words + 1,
                                 sizeof *list);

    memcpy(list, g->boxes.at, g->boxes.n * sizeof *list);
    if (words > 0)
        memcpy(list + g->boxes.n, never->boxes, words * sizeof *list);
    return list;
}

/* Takes out boxes that the others cover together, from the end of the
 * list. */
static void drop_needless(struct gathering *g, struct cover *c,
                          uint64_t *list, size_t never)
{
    size_t mine = g->boxes.n / g->n;

    c->boxes = list;
    c->count = mine + never;
    for (size_t i = mine; i-- > 0;) {
        c->skip = i;
        if (!covered(c, list + i * g->n))
            continue;
        memmove(list + i * g->n, list + (i + 1) * g->n,
                (c->count - i - 1) * g->n * sizeof *list);
        c->count--;
        mine--;
    }
    g->boxes.n = mine * g->n;
    memcpy(g->boxes.at, list, g->boxes.n * sizeof *list);
}

static void make_small(struct gathering *g, const struct never *never)
{
    struct arena *arena = arena_new();
    size_t count = g->boxes.n / g->n;
    uint64_t *wide = arena_array(arena, g->boxes.n, sizeof *wide);
    struct cover c = {
        .g = g, .boxes = join(arena, g, never),
        .count = count + never->count, .skip = SIZE_MAX,
        .room = arena_array(arena, (count + never->count + 2) * g->n,
                            sizeof *c.room),
    };

    memcpy(wide, g->boxes.at, g->boxes.n * sizeof *wide);
    for (size_t i = 0; i < count; i++)
        widen(&c, wide + i * g->n);
    drop_inner(g, wide, count);
    drop_needless(g, &c, join(arena, g, never), never->count);
    arena_free(arena);
}

static const struct never nothing = {NULL, 0};

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
    make_small(g, &nothing);
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

/* ---- what never occurs ---- */

/* Cuts `box` out of the pieces; what is left goes to `left`. */
static void cut_out(const struct gathering *g, const uint64_t *box,
                    uint64_t *piece, struct gathering *left)
{
    if (disjoint(piece, box, g->n)) {
        for (uint32_t i = 0; i < g->n; i++)
            vec_push(&left->boxes, piece[i]);
        return;
    }
    for (uint32_t r = 0; r < g->n; r++) {
        uint64_t out = piece[r] & ~box[r];

        for (uint32_t i = 0; i < g->n && out != 0; i++)
            vec_push(&left->boxes, i == r ? out : piece[i]);
        piece[r] &= box[r];
    }
}

struct never gathering_never(struct gathering *g, struct arena *arena)
{
    struct gathering left = {.n = g->n}, next = {.n = g->n};
    struct never never = {NULL, 0};

    if (g->n == 0 || g->too_many || g->boxes.n == 0)
        return never;
    make_small(g, &nothing);
    for (uint32_t i = 0; i < g->n; i++)
        vec_push(&left.boxes, g->full[i]);
    for (size_t at = 0; at < g->boxes.n; at += g->n) {
        struct gathering spare = left;

        for (size_t p = 0; p < left.boxes.n; p += g->n)
            cut_out(g, g->boxes.at + at, left.boxes.at + p, &next);
        vec_clear(&spare.boxes);
        left = next;
        next = spare;
        if (left.boxes.n / g->n > MOST_BOXES)
            break;
    }
    if (left.boxes.n / g->n <= MOST_BOXES) {
        never.boxes = keep(arena, left.boxes.at, left.boxes.n);
        never.count = left.boxes.n / g->n;
    }
    vec_release(&left.boxes);
    vec_release(&next.boxes);
    return never;
}

/* ---- the label ---- */

/* What all ways have in common, less what follows of itself. */
static const uint64_t *common_of(const struct gathering *g,
                                 const struct never *never,
                                 struct arena *arena)
{
    uint64_t *common = arena_array(arena, g->n + 1, sizeof *common);
    struct cover c = {
        .g = g, .boxes = never->boxes, .count = never->count,
        .skip = SIZE_MAX,
        .room = arena_array(arena, (never->count + 2) * g->n + 1,
                            sizeof *c.room),
    };

    memcpy(common, g->common.at, g->n * sizeof *common);
    widen(&c, common);
    return common;
}

/* The hull of the groups. */
static const uint64_t *hull_of(const struct gathering *g,
                               struct arena *arena)
{
    uint64_t *hull = arena_array(arena, g->n + 1, sizeof *hull);

    for (size_t i = 0; i < g->boxes.n; i++)
        hull[i % g->n] |= g->boxes.at[i];
    return hull;
}

/* Does each group ask for at most one thing that not all ask for? */
static bool all_single(const struct gathering *g, const uint64_t *hull)
{
    for (size_t at = 0; at < g->boxes.n; at += g->n) {
        uint32_t own = 0;

        for (uint32_t r = 0; r < g->n; r++)
            own += g->boxes.at[at + r] != hull[r];
        if (own > 1)
            return false;
    }
    return true;
}

struct label gathering_label(struct gathering *g, const struct never *never,
                             struct arena *arena)
{
    struct label label = {0};
    const uint64_t *hull;
    size_t count;

    if (never == NULL)
        never = &nothing;
    if (g->n == 0) { /* nothing can be said: one box that leaves all open */
        label.common = label.groups = keep(arena, NULL, 0);
        label.n_groups = 1;
        return label;
    }
    label.common = common_of(g, never, arena);
    if (g->too_many)
        return label;
    ENSURE(g->boxes.n > 0);
    make_small(g, &nothing);
    make_small(g, never);
    count = g->boxes.n / g->n;
    hull = hull_of(g, arena);
    if (count > (all_single(g, hull) ? LABEL_MOST_SINGLE
                                     : LABEL_MOST_GROUPS))
        return label;
    label.common = hull;
    label.groups = keep(arena, g->boxes.at, g->boxes.n);
    label.n_groups = (uint32_t)count;
    return label;
}
