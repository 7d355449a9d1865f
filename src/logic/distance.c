#include "logic/distance.h"

#include <stddef.h>

#include "base/arena.h"
#include "base/vec.h"
#include "logic/flow.h"

/* A cell that changed so often is given up to all that it can store; a look
 * that takes so many rounds shows nothing. */
enum { CHANGES_MOST = 12, ROUNDS_MOST = 400 };

/* Nodes looked at to show that it is away, and then to say how far: some
 * seconds at most.  What needs more is not shown. */
static const uint64_t most_work = 40000000, most_more = 10000000;

/* Nobody waits for more scans than that. */
static const uint64_t longest = (uint64_t)1 << 62;

/* What is claimed of a cell: after k scans it lies above `base`, if at all,
 * by no more than k times `up`, and by that way not above `most`; likewise
 * below. */
struct claim {
    struct range base;
    int64_t up, down; /* up >= 0, down <= 0 */
    int64_t most, least;
    uint32_t changes;
};

struct look {
    const struct slice *slice;
    struct flow *flow;     /* and the ranges of all nodes */
    struct claim *claim;   /* per cell */
    uint64_t scans;
    uint64_t work, most; /* nodes looked at so far, and at most */
    bool (*interrupted)(void);
};

/* start + scans * step, no further than int64 goes. */
static int64_t moved(int64_t start, int64_t step, uint64_t scans)
{
    int64_t far = step > 0 ? INT64_MAX : INT64_MIN, way, end;

    if (step == 0)
        return start;
    if (scans > INT64_MAX ||
        __builtin_mul_overflow(step, (int64_t)scans, &way) ||
        __builtin_add_overflow(start, way, &end))
        return far;
    return end;
}

/* What the cell can hold before any of these scans: the first one makes
 * `base`, and what the last one makes is not read any more. */
static struct range box_of(const struct look *look, uint32_t cell)
{
    const struct claim *claim = &look->claim[cell];
    struct range declared = {look->slice->cells[cell].low,
                             look->slice->cells[cell].high};
    struct range box = claim->base;
    uint64_t moves = look->scans == DISTANCE_NEVER || look->scans < 2
                         ? look->scans : look->scans - 2;
    int64_t high = moved(box.high, claim->up, moves);
    int64_t low = moved(box.low, claim->down, moves);

    high = high < claim->most ? high : claim->most;
    low = low > claim->least ? low : claim->least;
    if (claim->up > 0 && high > box.high)
        box.high = high;
    if (claim->down < 0 && low < box.low)
        box.low = low;
    range_meet(box, declared, &box);
    return box;
}

/* A value that does not fit is never stored: a path ends at the error
 * before. */
static void join_value(struct claim *claim, struct range declared,
                       struct range value)
{
    if (range_meet(value, declared, &value))
        claim->base = range_join(claim->base, value);
}

static void join_step(struct claim *claim, const struct flow_part *part)
{
    if (part->step.high > 0) {
        if (part->step.high > claim->up)
            claim->up = part->step.high;
        if (part->most > claim->most)
            claim->most = part->most;
    }
    if (part->step.low < 0) {
        if (part->step.low < claim->down)
            claim->down = part->step.low;
        if (part->least < claim->least)
            claim->least = part->least;
    }
}

static bool same_claim(const struct claim *a, const struct claim *b)
{
    return a->base.low == b->base.low && a->base.high == b->base.high &&
           a->up == b->up && a->down == b->down && a->most == b->most &&
           a->least == b->least;
}

/* True when the claim had to be made larger. */
static bool correct(struct look *look, uint32_t cell)
{
    const struct slice_cell *at = &look->slice->cells[cell];
    const struct range declared = {at->low, at->high};
    struct claim claim = look->claim[cell];
    struct flow_part part;

    if (claim.changes > CHANGES_MOST)
        return false;
    look->work += look->flow->list[cell].n;
    part = flow_of(look->flow, cell);
    if (part.has_value)
        join_value(&claim, declared, part.value);
    if (part.has_step)
        join_step(&claim, &part);
    if (same_claim(&claim, &look->claim[cell]))
        return false;
    if (++claim.changes > CHANGES_MOST) {
        claim.base = declared;
        claim.up = claim.down = 0;
        claim.most = INT64_MAX;
        claim.least = INT64_MIN;
    }
    look->claim[cell] = claim;
    return true;
}

static void claim_first(struct look *look)
{
    flow_ranges(look->flow);
    for (uint32_t i = 0; i < look->slice->n_cells; i++) {
        const struct slice_cell *at = &look->slice->cells[i];
        struct range base = {at->low, at->high};

        range_meet(base, look->flow->range[at->first], &base);
        look->claim[i] = (struct claim){.base = base, .most = INT64_MIN,
                                        .least = INT64_MAX};
    }
}

/* Can the watch hold in none of these scans? */
static bool excluded(struct look *look, uint32_t watch, uint64_t scans)
{
    const struct slice_root *root = &look->slice->watches[watch];
    uint32_t n = look->slice->n_cells;
    bool more = true;

    look->scans = scans;
    for (uint32_t i = 0; i < n; i++)
        look->flow->box[i] = (struct range){look->slice->cells[i].low,
                                            look->slice->cells[i].high};
    claim_first(look);
    if (look->flow->range[root->first].high != 0)
        return false;
    for (int round = 0; more && round < ROUNDS_MOST; round++) {
        if (look->work > look->most ||
            (look->interrupted != NULL && look->interrupted()))
            return false;
        look->work += look->slice->n_nodes;
        more = false;
        for (uint32_t i = 0; i < n; i++)
            look->flow->box[i] = box_of(look, i);
        flow_ranges(look->flow);
        if (look->flow->range[root->next].high != 0)
            return false;
        for (uint32_t i = 0; i < n; i++)
            more = correct(look, i) || more;
    }
    return !more;
}

/* The largest number for which it is shown, from one for which it is. */
static uint64_t largest(struct look *look, uint32_t watch, uint64_t shown)
{
    uint64_t open = shown;

    look->most = look->work + most_more;
    do {
        shown = open;
        open = shown * 2;
    } while (open < longest && excluded(look, watch, open));
    while (open - shown > 1) {
        uint64_t middle = shown + (open - shown) / 2;

        if (excluded(look, watch, middle))
            shown = middle;
        else
            open = middle;
    }
    return shown;
}

uint64_t distance_least(const struct slice *slice, uint32_t watch,
                        uint64_t beyond, bool (*interrupted)(void))
{
    struct arena *arena = arena_new();
    struct look look = {.slice = slice, .flow = flow_new(arena, slice),
                        .most = most_work, .interrupted = interrupted};
    uint64_t least = 0;

    look.claim = arena_array(arena, slice->n_cells + 1, sizeof *look.claim);
    if (excluded(&look, watch, beyond))
        least = excluded(&look, watch, UINT64_MAX)
                    ? DISTANCE_NEVER : largest(&look, watch, beyond);
    arena_free(arena);
    return least > beyond ? least : 0;
}
