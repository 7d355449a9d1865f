#include "study/handcover.h"

#include <stdbool.h>

#include "base/arena.h"
#include "base/ensure.h"

struct choosing {
    struct cover_way *ways;
    uint32_t n;
    uint32_t *count; /* per fact: by how many steps of chosen ways */
};

/* Each fact of a step is shown so many times more. */
static void add(struct choosing *c, const struct cover_step *step, int more)
{
    for (uint32_t i = 0; i < step->n_facts; i++) {
        ENSURE(more > 0 || c->count[step->facts[i]] > 0);
        c->count[step->facts[i]] += (uint32_t)more;
    }
}

static void add_way(struct choosing *c, uint32_t way, int more)
{
    for (uint32_t k = 0; k < c->ways[way].n_steps; k++)
        add(c, &c->ways[way].steps[k], more);
}

/* Facts that so far nothing shows; one that the way shows twice is one.
 * seen: per fact, the last stamp. */
static uint32_t count_new(const struct choosing *c, uint32_t way,
                          uint64_t *seen, uint64_t stamp)
{
    uint32_t n = 0;

    for (uint32_t k = 0; k < c->ways[way].n_steps; k++) {
        const struct cover_step *step = &c->ways[way].steps[k];

        for (uint32_t i = 0; i < step->n_facts; i++)
            if (c->count[step->facts[i]] == 0 &&
                seen[step->facts[i]] != stamp) {
                seen[step->facts[i]] = stamp;
                n++;
            }
    }
    return n;
}

static uint64_t cost_of(const struct cover_way *way)
{
    return (uint64_t)way->n_steps + way->extra;
}

/* False: nothing new is left. */
static bool take_next(struct choosing *c, uint64_t *seen, uint32_t turn,
                      uint32_t *taken)
{
    uint32_t best = c->n;
    uint64_t most = 0;

    for (uint32_t i = 0; i < c->n; i++) {
        uint64_t stamp = (uint64_t)turn * c->n + i + 1;
        uint64_t new_facts =
            c->ways[i].length > 0 ? 0 : count_new(c, i, seen, stamp);

        if (new_facts > 0 &&
            (best == c->n || new_facts * cost_of(&c->ways[best]) >
                                 most * cost_of(&c->ways[i]))) {
            best = i;
            most = new_facts;
        }
    }
    if (best == c->n)
        return false;
    c->ways[best].length = c->ways[best].n_steps;
    add_way(c, best, 1);
    *taken = best;
    return true;
}

/* Is each of its facts shown by another step too? */
static bool is_spare_step(const struct choosing *c,
                          const struct cover_step *step)
{
    for (uint32_t i = 0; i < step->n_facts; i++)
        if (c->count[step->facts[i]] < 2)
            return false;
    return true;
}

static bool is_shown(const struct choosing *c, const struct cover_step *step)
{
    for (uint32_t i = 0; i < step->n_facts; i++)
        if (c->count[step->facts[i]] == 0)
            return false;
    return true;
}

/* Leaves a way out, if nothing is missing then. */
static void drop_spare(struct choosing *c, uint32_t way)
{
    bool missing = false;

    add_way(c, way, -1);
    for (uint32_t k = 0; k < c->ways[way].n_steps; k++)
        missing = missing || !is_shown(c, &c->ways[way].steps[k]);
    if (missing)
        add_way(c, way, 1);
    else
        c->ways[way].length = 0;
}

static void cut_tail(struct choosing *c, uint32_t way)
{
    uint32_t *length = &c->ways[way].length;

    while (*length > 0 &&
           is_spare_step(c, &c->ways[way].steps[*length - 1])) {
        --*length;
        add(c, &c->ways[way].steps[*length], -1);
    }
}

void handcover_choose(struct arena *arena, struct cover_way *ways,
                      uint32_t n, uint32_t n_facts, uint32_t *count)
{
    struct choosing c = {ways, n, count};
    uint64_t *seen = arena_array(arena, (size_t)n_facts + 1, sizeof *seen);
    uint32_t *order = arena_array(arena, (size_t)n + 1, sizeof *order);
    uint32_t taken = 0;

    for (uint32_t i = 0; i < n; i++)
        ways[i].length = 0;
    for (uint32_t i = 0; i < n_facts; i++)
        count[i] = 0;
    while (taken < n && take_next(&c, seen, taken, &order[taken]))
        taken++;
    for (uint32_t i = taken; i-- > 0;)
        drop_spare(&c, order[i]);
    for (uint32_t i = 0; i < n; i++)
        cut_tail(&c, i);
}
