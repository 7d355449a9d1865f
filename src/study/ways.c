#include "study/ways.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/edges.h"

/* Combinations of our choices tried in one situation. */
enum { MOST_COMBINATIONS = 65536 };

struct leaf {
    bool good; /* the watch holds, or a way is known from there */
    const uint32_t *choice;
};

struct ways {
    const struct answer *answer;
    uint32_t watch;
    uint32_t n_choices;
    bool *can;              /* per situation */
    VEC(struct leaf) leaves;
    VEC(uint32_t) rows;     /* choices of the leaves, one after the other */
    bool too_many;
    bool simple_good;       /* a good leaf was met */
    const uint32_t *failing;
};

static bool against_us(const struct ways *ways, uint32_t row)
{
    return ways->answer->slice->choices[row].kind == FLAT_SHARED;
}

/* START values are not ours either: every first situation counts. */
static bool ours(const struct ways *ways, uint32_t row)
{
    enum flat_kind kind = ways->answer->slice->choices[row].kind;

    return kind == FLAT_OPERATOR || kind == FLAT_INPUT ||
           kind == FLAT_MACHINE;
}

static bool good_edge(const struct ways *ways, const struct edge *edge)
{
    if (edge->to >= exploration_situations(ways->answer->exploration))
        return false;
    return edge->watch[ways->watch] || ways->can[edge->to];
}

static bool collect(void *context, const struct edge *edge)
{
    struct ways *ways = context;
    struct leaf leaf = {.good = good_edge(ways, edge)};

    vec_push(&ways->leaves, leaf);
    for (uint32_t i = 0; i < ways->n_choices; i++)
        vec_push(&ways->rows, edge->choice[i]);
    return true;
}

static bool spot_good(void *context, const struct edge *edge)
{
    struct ways *ways = context;

    if (good_edge(ways, edge))
        ways->simple_good = true;
    return !ways->simple_good;
}

static bool fits(const struct ways *ways, const struct leaf *leaf,
                 const uint32_t *mine)
{
    for (uint32_t i = 0; i < ways->n_choices; i++)
        if (leaf->choice[i] != FLAT_NONE && ours(ways, i) &&
            leaf->choice[i] != mine[i])
            return false;
    return true;
}

/* With these choices of ours: some leaf fits, and all that fit are good. */
static bool wins(const struct ways *ways, const uint32_t *mine)
{
    bool some = false;

    for (size_t i = 0; i < ways->leaves.n; i++) {
        if (!fits(ways, &ways->leaves.at[i], mine))
            continue;
        if (!ways->leaves.at[i].good)
            return false;
        some = true;
    }
    return some;
}

/* Rows of ours that any leaf decides; false when there are too many
 * combinations. */
static bool own_rows(const struct ways *ways, bool *own)
{
    uint64_t product = 1;

    memset(own, 0, ways->n_choices * sizeof *own);
    for (size_t i = 0; i < ways->leaves.n; i++)
        for (uint32_t c = 0; c < ways->n_choices; c++)
            if (ways->leaves.at[i].choice[c] != FLAT_NONE && ours(ways, c))
                own[c] = true;
    for (uint32_t c = 0; c < ways->n_choices; c++)
        if (own[c]) {
            product *= ways->answer->slice->choices[c].count;
            if (product > MOST_COMBINATIONS)
                return false;
        }
    return true;
}

static bool next_combination(const struct ways *ways, const bool *own,
                             uint32_t *mine)
{
    for (uint32_t c = 0; c < ways->n_choices; c++) {
        if (!own[c])
            continue;
        if (++mine[c] < ways->answer->slice->choices[c].count)
            return true;
        mine[c] = 0;
    }
    return false;
}

/* Somebody chooses against us: is there a choice of ours that is good
 * whatever they do? */
static bool resolve(struct ways *ways)
{
    struct arena *arena = arena_new();
    bool *own = arena_array(arena, ways->n_choices + 1, sizeof *own);
    uint32_t *mine = arena_array(arena, ways->n_choices + 1, sizeof *mine);
    bool won = false;

    for (size_t i = 0; i < ways->leaves.n; i++)
        ways->leaves.at[i].choice = ways->rows.at + i * ways->n_choices;
    if (!own_rows(ways, own)) {
        ways->too_many = true;
    } else {
        do
            won = wins(ways, mine);
        while (!won && next_combination(ways, own, mine));
    }
    arena_free(arena);
    return won;
}

static bool slice_has_against(const struct ways *ways)
{
    for (uint32_t i = 0; i < ways->n_choices; i++)
        if (ways->answer->slice->used[i] && against_us(ways, i))
            return true;
    return false;
}

static bool situation_can(struct ways *ways, uint64_t situation)
{
    if (!slice_has_against(ways)) {
        ways->simple_good = false;
        edges_from(ways->answer->exploration, situation, spot_good, ways);
        return ways->simple_good;
    }
    vec_clear(&ways->leaves);
    vec_clear(&ways->rows);
    edges_from(ways->answer->exploration, situation, collect, ways);
    return resolve(ways);
}

/* Passes from the farthest situation to the nearest, until nothing is
 * added. */
static void spread(struct ways *ways)
{
    uint64_t n = exploration_situations(ways->answer->exploration);
    bool added = true;

    while (added && !ways->too_many) {
        added = false;
        for (uint64_t s = n; s-- > 0 && !ways->too_many;)
            if (!ways->can[s] && situation_can(ways, s))
                ways->can[s] = added = true;
    }
}

/* A first scan from which it cannot be brought about. */
static bool first_fails(void *context, const struct edge *edge)
{
    struct ways *ways = context;
    uint32_t *row;

    if (edge->to == UINT64_MAX || good_edge(ways, edge))
        return true; /* an error leaves no situation to go on from */
    row = arena_array(ways->answer->arena, ways->n_choices + 1, sizeof *row);
    for (uint32_t i = 0; i < ways->n_choices; i++)
        row[i] = edge->choice[i] != FLAT_NONE
                     ? edge->choice[i]
                     : ways->answer->slice->choices[i].rest;
    ways->failing = row;
    return false;
}

enum ways_verdict ways_find(const struct answer *answer,
                            uint32_t watch, const uint32_t **first)
{
    struct ways ways = {
        .answer = answer,
        .watch = watch,
        .n_choices = answer->slice->n_choices,
    };

    ENSURE(answer_complete(answer));
    ways.can = arena_array(
        answer->arena, exploration_situations(answer->exploration) + 1,
        sizeof *ways.can);
    spread(&ways);
    edges_from(answer->exploration, UINT64_MAX, first_fails, &ways);
    vec_release(&ways.leaves);
    vec_release(&ways.rows);
    *first = ways.failing;
    if (ways.failing == NULL)
        return WAYS_ALL;
    return ways.too_many ? WAYS_TOO_MANY : WAYS_NOT_ALL;
}
