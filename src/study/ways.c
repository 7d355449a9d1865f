#include "study/ways.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/edges.h"

enum {
    MOST_VISITS = 2000000, /* of leaves, in choosing for one situation */
    LOOKS = 1024           /* situations between two looks for a signal */
};

/* Nothing that could still be chosen helps; nothing stands against us. */
static const uint32_t LOST = FLAT_NONE, WON = FLAT_NONE - 1;

/* Whose a choice row is. */
enum side {
    SIDE_NONE,   /* decides nothing in later scans, or is fixed */
    SIDE_OURS,
    SIDE_OTHERS, /* an operator who is not with us */
    SIDE_SHARED
};

/* Where one way through a scan leads. */
enum grade {
    GRADE_BAD,
    GRADE_GOOD, /* the goal is there, or a way to it is known */
    GRADE_APART /* off the way that is asked about */
};

struct leaf {
    enum grade grade;
    const uint32_t *choice;
};

struct ways {
    const struct answer *answer;
    struct ways_again again;
    uint32_t n_choices;
    enum side *side;        /* per choice row */
    uint32_t *given;        /* per choice row: what stays as it is */
    bool against;           /* somebody chooses against us */
    bool *can;              /* per situation */
    VEC(struct leaf) leaves;
    VEC(uint32_t) rows;     /* choices of the leaves, one after the other */
    VEC(uint32_t) live;     /* stack of leaves that fit what is chosen */
    uint32_t *mine;         /* what is chosen; FLAT_NONE: not yet */
    uint32_t visits;        /* of leaves, in this situation */
    bool (*interrupted)(void);
    uint32_t looked;        /* situations since the last look */
    enum ways_end end;
    bool simple_good;       /* a good leaf was met */
    const uint32_t *failing;
};

/* ---- sides ---- */

/* START values are not ours either: every first situation counts. */
static enum side side_of(const struct ways *ways, uint32_t row)
{
    switch (ways->answer->slice->choices[row].kind) {
    case FLAT_OPERATOR:
    case FLAT_INPUT:
        return !ways->again.operators || ways->again.operators[row]
                   ? SIDE_OURS : SIDE_OTHERS;
    case FLAT_MACHINE:
        return SIDE_OURS;
    case FLAT_SHARED:
    case FLAT_UNCOMMANDED:
    case FLAT_ANY:
    case FLAT_TIME:
        return SIDE_SHARED;
    default:
        return SIDE_NONE;
    }
}

static void prepare(struct ways *ways)
{
    const struct answer *answer = ways->answer;

    ENSURE(answer_complete(answer));
    ways->n_choices = answer->slice->n_choices;
    ways->side = arena_array(answer->arena, ways->n_choices + 1,
                             sizeof *ways->side);
    ways->given = arena_array(answer->arena, ways->n_choices + 1,
                              sizeof *ways->given);
    ways->mine = arena_array(answer->arena, ways->n_choices + 1,
                             sizeof *ways->mine);
    for (uint32_t i = 0; i < ways->n_choices; i++) {
        ways->mine[i] = ways->given[i] = FLAT_NONE;
        ways->side[i] = side_of(ways, i);
        if (answer->slice->used[i] && (ways->side[i] == SIDE_OTHERS ||
                                       ways->side[i] == SIDE_SHARED))
            ways->against = true;
    }
}

/* No fault appears, power is on. */
static void stay(struct ways *ways)
{
    for (uint32_t i = 0; i < ways->n_choices; i++) {
        enum flat_kind kind = ways->answer->slice->choices[i].kind;

        if (kind == FLAT_FAULT || kind == FLAT_POWER)
            ways->given[i] = 0;
    }
}

/* ---- one way through one scan ---- */

static enum grade grade_of(const struct ways *ways, const struct edge *edge)
{
    if (edge->to >= ways->answer->reach->situations)
        return GRADE_BAD;
    if (edge->watch[ways->again.goal])
        return GRADE_GOOD;
    if (ways->again.asked != FLAT_NONE && !edge->watch[ways->again.asked])
        return GRADE_APART;
    return ways->can[edge->to] ? GRADE_GOOD : GRADE_BAD;
}

static bool collect(void *context, const struct edge *edge)
{
    struct ways *ways = context;
    struct leaf leaf = {.grade = grade_of(ways, edge)};

    vec_push(&ways->leaves, leaf);
    for (uint32_t i = 0; i < ways->n_choices; i++)
        vec_push(&ways->rows, edge->choice[i]);
    return true;
}

static bool spot_good(void *context, const struct edge *edge)
{
    struct ways *ways = context;

    if (grade_of(ways, edge) == GRADE_GOOD)
        ways->simple_good = true;
    return !ways->simple_good;
}

/* ---- choosing without seeing what others choose ---- */

/* Can both be what `side` chose? */
static bool agree(const struct ways *ways, enum side side,
                  const uint32_t *a, const uint32_t *b)
{
    for (uint32_t i = 0; i < ways->n_choices; i++)
        if (ways->side[i] == side && a[i] != FLAT_NONE &&
            b[i] != FLAT_NONE && a[i] != b[i])
            return false;
    return true;
}

/* A row of ours that a leaf decides and that is not chosen yet. */
static uint32_t open_row(const struct ways *ways, const struct leaf *leaf)
{
    for (uint32_t i = 0; i < ways->n_choices; i++)
        if (ways->side[i] == SIDE_OURS && leaf->choice[i] != FLAT_NONE &&
            ways->mine[i] == FLAT_NONE)
            return i;
    return LOST;
}

static const struct leaf *live(const struct ways *ways, size_t i)
{
    return &ways->leaves.at[ways->live.at[i]];
}

static bool any(const struct ways *ways, enum grade grade, size_t from,
                size_t to)
{
    for (size_t i = from; i < to; i++)
        if (live(ways, i)->grade == grade)
            return true;
    return false;
}

/* All bad leaves must be chosen away. */
static uint32_t row_against_bad(const struct ways *ways, size_t from,
                                size_t to)
{
    uint32_t first = WON;

    for (size_t i = from; i < to; i++) {
        uint32_t row;

        if (live(ways, i)->grade != GRADE_BAD)
            continue;
        row = open_row(ways, live(ways, i));
        if (row == LOST)
            return LOST;
        if (first == WON)
            first = row;
    }
    return first;
}

/* With one and the same choice of ours and of the other operators a SHARED
 * value decides whether the way is left: that must be chosen away too.  (An
 * operator who leaves it ends what is asked.) */
static uint32_t row_against_leaving(const struct ways *ways, size_t from,
                                    size_t to)
{
    for (size_t i = from; i < to; i++)
        for (size_t k = from;
             k < to && live(ways, i)->grade == GRADE_APART; k++) {
            const struct leaf *apart = live(ways, i), *good = live(ways, k);
            uint32_t row;

            if (good->grade != GRADE_GOOD ||
                !agree(ways, SIDE_OURS, apart->choice, good->choice) ||
                !agree(ways, SIDE_OTHERS, apart->choice, good->choice))
                continue;
            row = open_row(ways, apart);
            return row != LOST ? row : open_row(ways, good);
        }
    return WON;
}

static uint32_t row_to_choose(const struct ways *ways, size_t from,
                              size_t to)
{
    uint32_t row = row_against_bad(ways, from, to);

    return row == WON ? row_against_leaving(ways, from, to) : row;
}

/* Puts those of the leaves that fit a choice of a row on top of the stack. */
static void narrow(struct ways *ways, size_t from, size_t to, uint32_t row)
{
    for (size_t i = from; i < to; i++) {
        uint32_t leaf = ways->live.at[i];
        uint32_t value = ways->leaves.at[leaf].choice[row];

        if (value == FLAT_NONE || value == ways->mine[row])
            vec_push(&ways->live, leaf);
    }
}

/* Is there a choice of the rows still open with which some leaf is good and
 * none is bad?  Each call decides one row more. */
static bool choose(struct ways *ways, size_t from, size_t to)
{
    uint32_t row, n;
    bool won = false;

    ways->visits += (uint32_t)(to - from);
    if (ways->visits > MOST_VISITS)
        ways->end = WAYS_UNRESOLVED;
    if (ways->end != WAYS_KNOWN || !any(ways, GRADE_GOOD, from, to))
        return false;
    row = row_to_choose(ways, from, to);
    if (row == WON || row == LOST)
        return row == WON;
    n = ways->answer->slice->choices[row].count;
    for (uint32_t value = 0; value < n && !won; value++) {
        ways->mine[row] = value;
        narrow(ways, from, to, row);
        won = choose(ways, to, ways->live.n);
        ways->live.n = to;
    }
    ways->mine[row] = FLAT_NONE;
    return won;
}

/* Somebody chooses against us: is there a choice of ours that is good
 * whatever they do? */
static bool resolve(struct ways *ways)
{
    vec_clear(&ways->live);
    for (size_t i = 0; i < ways->leaves.n; i++) {
        ways->leaves.at[i].choice = ways->rows.at + i * ways->n_choices;
        vec_push(&ways->live, (uint32_t)i);
    }
    ways->visits = 0;
    return choose(ways, 0, ways->live.n);
}

/* ---- all situations ---- */

static void walk(struct ways *ways, uint64_t situation,
                 bool (*visit)(void *context, const struct edge *edge))
{
    edges_given(ways->answer->exploration, situation, ways->given, visit,
                ways);
}

static bool situation_can(struct ways *ways, uint64_t situation)
{
    if (!ways->against) {
        ways->simple_good = false;
        walk(ways, situation, spot_good);
        return ways->simple_good;
    }
    vec_clear(&ways->leaves);
    vec_clear(&ways->rows);
    walk(ways, situation, collect);
    return resolve(ways);
}

static bool goes_on(struct ways *ways)
{
    if (ways->interrupted && ++ways->looked >= LOOKS) {
        ways->looked = 0;
        if (ways->interrupted())
            ways->end = WAYS_INTERRUPTED;
    }
    return ways->end == WAYS_KNOWN;
}

/* Passes to and fro between the farthest situation and the nearest, until
 * nothing is added. */
static void spread(struct ways *ways)
{
    const struct answer *answer = ways->answer;
    uint64_t n = answer->reach->situations;
    bool added = true, back = true;

    ways->can = arena_array(answer->arena, n + 1, sizeof *ways->can);
    for (; added && ways->end == WAYS_KNOWN; back = !back) {
        added = false;
        for (uint64_t i = 0; i < n && goes_on(ways); i++) {
            uint64_t s = back ? n - 1 - i : i;

            if (!ways->can[s] && situation_can(ways, s))
                ways->can[s] = added = true;
        }
    }
    vec_release(&ways->leaves);
    vec_release(&ways->rows);
    vec_release(&ways->live);
}

/* A first scan from which it cannot be brought about. */
static bool first_fails(void *context, const struct edge *edge)
{
    struct ways *ways = context;
    uint32_t *row;

    if (edge->to == UINT64_MAX || grade_of(ways, edge) == GRADE_GOOD)
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
        .again = {.goal = watch, .asked = FLAT_NONE},
    };

    prepare(&ways);
    spread(&ways);
    edges_from(answer->exploration, UINT64_MAX, first_fails, &ways);
    *first = ways.failing;
    if (ways.failing == NULL)
        return WAYS_ALL;
    return ways.end == WAYS_KNOWN ? WAYS_NOT_ALL : WAYS_TOO_MANY;
}

enum ways_end ways_again(const struct answer *answer,
                         const struct ways_again *again,
                         bool (*interrupted)(void), const bool **can)
{
    struct ways ways = {
        .answer = answer,
        .again = *again,
        .interrupted = interrupted,
    };

    prepare(&ways);
    stay(&ways);
    spread(&ways);
    *can = ways.can;
    return ways.end;
}

/* What belongs to nobody counts as shared where somebody is against us, as
 * it does in choosing (above). */
static const enum regain_side *sides(const struct ways *ways)
{
    enum regain_side *made;

    if (!ways->against)
        return NULL;
    made = arena_array(ways->answer->arena, ways->n_choices + 1,
                       sizeof *made);
    for (uint32_t i = 0; i < ways->n_choices; i++)
        made[i] = ways->side[i] == SIDE_OURS     ? REGAIN_OURS
                  : ways->side[i] == SIDE_OTHERS ? REGAIN_OTHERS
                                                 : REGAIN_SHARED;
    return made;
}

static enum ways_quick ask_quick(struct ways *ways, struct answer *answer,
                                 const uint32_t *fixed,
                                 const struct sequence **astray)
{
    const struct regain_asked asked = {ways->again.goal, ways->again.asked,
                                       sides(ways), fixed};
    const struct regain_found found = engines_regain(
        answer->arena, answer->slice, &answer->setting, &asked);

    *astray = found.astray;
    switch (found.regain) {
    case REGAIN_ALWAYS: return WAYS_ALWAYS;
    case REGAIN_NOT: return WAYS_NOT_ALWAYS;
    case REGAIN_LOST: break;
    }
    return WAYS_WALK;
}

enum ways_quick ways_find_quick(struct answer *answer, uint32_t watch,
                                const struct sequence **astray)
{
    struct ways ways = {
        .answer = answer,
        .again = {.goal = watch, .asked = FLAT_NONE},
    };

    prepare(&ways);
    return ask_quick(&ways, answer, NULL, astray);
}

enum ways_quick ways_again_quick(struct answer *answer,
                                 const struct ways_again *again,
                                 const struct sequence **astray)
{
    struct ways ways = {.answer = answer, .again = *again};

    prepare(&ways);
    stay(&ways);
    return ask_quick(&ways, answer, ways.given, astray);
}
