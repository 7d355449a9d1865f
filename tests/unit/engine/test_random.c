/* Random slices, explored by the engine and by a plain enumeration of all
 * choices: both must agree on everything that a verdict can rest on. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/vec.h"
#include "engine/edges.h"
#include "engine/explore.h"
#include "engine/sequence.h"
#include "logic/apply.h"
#include "tests/support/hand_slice.h"

enum {
    SLICES = 600,
    MOST_ROWS = 10,
    MOST_CELLS = 4,
    MOST_VECTORS = 800,
    MOST_SITUATIONS = 120,
    NOT_STORED = -1,
    ENDED = -2
};

/* ---- making slices ---- */

struct maker {
    struct hand h;
    uint64_t seed;
    flat_expr cell[MOST_CELLS], row[MOST_ROWS];
    uint32_t n_cells, n_rows;
};

static uint32_t pick(struct maker *m, uint32_t n)
{
    m->seed = m->seed * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)(m->seed >> 33) % n;
}

static flat_expr number(struct maker *m, bool first, unsigned depth);

static flat_expr leaf(struct maker *m, bool first)
{
    if (!first && m->n_cells && pick(m, 2))
        return m->cell[pick(m, m->n_cells)];
    if (m->n_rows && pick(m, 4))
        return m->row[pick(m, m->n_rows)];
    return hand_const(&m->h, pick(m, 3));
}

static flat_expr truth(struct maker *m, bool first, unsigned depth)
{
    static const enum flat_op junction[] = {FLAT_AND, FLAT_OR, FLAT_AND,
                                            FLAT_OR, FLAT_XOR};
    static const enum flat_op relation[] = {FLAT_EQ, FLAT_LT, FLAT_LE};
    uint32_t kind = depth == 0 ? 9 : pick(m, 10);
    flat_expr a, b, c;

    if (kind >= 6) {
        a = number(m, first, depth ? depth - 1 : 0);
        b = pick(m, 2) ? hand_const(&m->h, pick(m, 3))
                       : number(m, first, depth ? depth - 1 : 0);
        return hand_op(&m->h, relation[pick(m, 3)], a, b);
    }
    a = truth(m, first, depth - 1);
    if (kind == 0)
        return hand_op(&m->h, FLAT_NOT, a, FLAT_NONE);
    b = truth(m, first, depth - 1);
    if (kind > 1)
        return hand_op(&m->h, junction[pick(m, 5)], a, b);
    c = truth(m, first, depth - 1);
    return hand_ite(&m->h, a, b, c);
}

static flat_expr number(struct maker *m, bool first, unsigned depth)
{
    static const enum flat_op ops[] = {FLAT_ADD, FLAT_SUB, FLAT_MUL,
                                       FLAT_DIV, FLAT_MOD};
    flat_expr a, b, c;

    if (depth == 0 || pick(m, 3) == 0)
        return leaf(m, first);
    if (pick(m, 2)) {
        a = number(m, first, depth - 1);
        b = number(m, first, depth - 1);
        return hand_op(&m->h, ops[pick(m, 5)], a, b);
    }
    a = truth(m, first, depth - 1);
    b = number(m, first, depth - 1);
    c = number(m, first, depth - 1);
    return hand_ite(&m->h, a, b, c);
}

/* low + unit * (e modulo steps), never below low. */
static flat_expr stored(struct maker *m, const struct slice_cell *cell,
                        flat_expr e)
{
    struct hand *h = &m->h;
    flat_expr steps =
        hand_const(h, (cell->high - cell->low) / cell->unit + 1);
    flat_expr rest = hand_op(h, FLAT_MOD, e, steps);

    rest = hand_op(h, FLAT_MOD, hand_op(h, FLAT_ADD, rest, steps), steps);
    rest = hand_op(h, FLAT_MUL, rest, hand_const(h, cell->unit));
    return hand_op(h, FLAT_ADD, rest, hand_const(h, cell->low));
}

static void make_rows(struct maker *m)
{
    static const enum flat_kind kinds[] = {
        FLAT_TIME,     FLAT_POWER,    FLAT_FAULT,   FLAT_START,
        FLAT_PAST,     FLAT_MACHINE,  FLAT_MACHINE, FLAT_OPERATOR,
        FLAT_OPERATOR, FLAT_OPERATOR, FLAT_INPUT,   FLAT_SHARED};
    uint32_t all = 1, n = 1 + pick(m, MOST_ROWS - 1);

    for (uint32_t i = 0; i < n; i++) {
        enum flat_kind kind = kinds[pick(m, 12)];
        uint32_t count = kind == FLAT_FAULT || kind == FLAT_POWER
                             ? 2
                             : 2 + (pick(m, 4) == 0);
        uint32_t rest = kind < FLAT_OPERATOR ? 0 : pick(m, count);

        if (all * count > MOST_VECTORS)
            return;
        all *= count;
        m->row[m->n_rows++] = hand_choice(&m->h, kind, count, rest);
    }
}

/* Many cells count, else little would be far away. */
static flat_expr next_value(struct maker *m, uint32_t cell)
{
    flat_expr e = number(m, false, 1 + pick(m, 3));

    if (pick(m, 2))
        return e;
    e = hand_op(&m->h, FLAT_MUL, truth(m, false, 2),
                hand_const(&m->h, m->h.cells.at[cell].unit));
    e = hand_op(&m->h, FLAT_ADD, m->cell[cell], e);
    return hand_op(&m->h, FLAT_DIV, e,
                   hand_const(&m->h, m->h.cells.at[cell].unit));
}

static void make_cells(struct maker *m)
{
    m->n_cells = pick(m, MOST_CELLS + 1);
    for (uint32_t i = 0; i < m->n_cells; i++) {
        int64_t low = (int64_t)pick(m, 5) - 2, unit = 1 + pick(m, 3);

        m->cell[i] =
            hand_cell(&m->h, low, low + unit * (1 + pick(m, 4)), unit);
    }
    for (uint32_t i = 0; i < m->n_cells; i++) {
        struct slice_cell cell = m->h.cells.at[i];
        flat_expr first = stored(m, &cell, number(m, true, 1 + pick(m, 2)));
        flat_expr next = stored(m, &cell, next_value(m, i));

        hand_next(&m->h, m->cell[i], first, next);
    }
}

/* Mostly true, else little would be reachable. */
static flat_expr assumption(struct maker *m, bool first)
{
    flat_expr a = truth(m, first, 1 + pick(m, 2));
    flat_expr b = truth(m, first, 1 + pick(m, 2));

    if (pick(m, 3) == 0)
        return hand_ite(&m->h, a, b, truth(m, first, 1));
    return pick(m, 4) ? hand_op(&m->h, FLAT_OR, a, b) : a;
}

static flat_expr seldom(struct maker *m, bool first)
{
    flat_expr a = truth(m, first, 2), b = truth(m, first, 1);

    return hand_op(&m->h, FLAT_AND, a, b);
}

/* A movement asks for its choice: more of it never moves less. */
static void make_motions(struct maker *m)
{
    flat_expr zero = hand_const(&m->h, 0);

    for (uint32_t i = 0; i < m->n_rows; i++) {
        flat_expr moves, on = FLAT_NONE;

        if (m->h.choices.at[i].kind != FLAT_MACHINE)
            continue;
        moves = hand_op(&m->h, FLAT_LT, zero, m->row[i]);
        on = m->n_cells ? hand_op(&m->h, FLAT_LE, m->cell[0], zero) : moves;
        on = hand_op(&m->h, FLAT_AND, moves, on);
        hand_motion(&m->h, moves, on);
    }
}

static void make_slice(struct maker *m, uint64_t seed)
{
    memset(m, 0, sizeof *m);
    m->seed = seed * 7919 + 11;
    hand_init(&m->h);
    make_rows(m);
    make_cells(m);
    for (uint32_t n = pick(m, 4); n > 0; n--) {
        flat_expr first = assumption(m, true);

        hand_assume(&m->h, first, assumption(m, false));
    }
    for (uint32_t n = pick(m, 3); n > 0; n--) {
        flat_expr first = seldom(m, true);

        hand_end(&m->h, first, seldom(m, false));
    }
    for (uint32_t n = 3; n > 0; n--) {
        flat_expr first = seldom(m, true);

        hand_watch(&m->h, first, seldom(m, false));
    }
    hand_value(&m->h, number(m, true, 2), number(m, false, 2));
    make_motions(m);
}

/* ---- the plain enumeration ---- */

struct way {
    int32_t from, to; /* -1: none, first scans; NOT_STORED, ENDED */
    uint32_t end;     /* FLAT_NONE: none */
    bool fits, dead;  /* dead: no inputs fit these others; inputs at rest */
    bool watch[3];
    uint64_t cost;
    uint32_t row[MOST_ROWS];
};

struct naive {
    const struct slice *s;
    const uint32_t *fixed_first, *fixed_next; /* NULL: nothing is */
    uint32_t level_of[MOST_SITUATIONS];
    int64_t cells[MOST_SITUATIONS][MOST_CELLS];
    int32_t n;
    VEC(struct way) ways;
    uint32_t watch_level[3], end_level[3], dead_end;
    bool too_many;
    int64_t *value;
};

static bool is_input(const struct flat_choice *c)
{
    return c->kind == FLAT_OPERATOR || c->kind == FLAT_INPUT ||
           c->kind == FLAT_SHARED;
}

static uint32_t at_rest(const struct flat_choice *c)
{
    return is_input(c) ? c->rest : 0;
}

static void evaluate(struct naive *v, int32_t from, const uint32_t *row)
{
    const struct slice *s = v->s;

    for (uint32_t i = 0; i < s->n_nodes; i++) {
        const struct flat_node *n = &s->nodes[i];

        if (n->op == FLAT_CONST)
            v->value[i] = n->value;
        else if (n->op == FLAT_CELL)
            v->value[i] = from < 0 ? 0 : v->cells[from][n->a];
        else if (n->op == FLAT_CHOICE)
            v->value[i] = s->choices[n->a].values[row[n->a]];
        else
            v->value[i] = flat_apply(
                n->op, v->value[n->a],
                n->op == FLAT_NOT ? 0 : v->value[n->b],
                n->op == FLAT_ITE ? v->value[n->c] : 0);
    }
}

static int64_t root(const struct naive *v, const struct slice_root *r,
                    int32_t from)
{
    return v->value[from < 0 ? r->first : r->next];
}

static int32_t situation(struct naive *v, int32_t from, uint32_t level)
{
    int64_t cells[MOST_CELLS] = {0};

    for (uint32_t i = 0; i < v->s->n_cells; i++)
        cells[i] = v->value[from < 0 ? v->s->cells[i].first
                                     : v->s->cells[i].next];
    for (int32_t i = 0; i < v->n; i++)
        if (memcmp(cells, v->cells[i], sizeof cells) == 0)
            return i;
    if (v->n == MOST_SITUATIONS) {
        v->too_many = true;
        return 0;
    }
    memcpy(v->cells[v->n], cells, sizeof cells);
    v->level_of[v->n] = level;
    return v->n++;
}

static uint64_t price(const struct naive *v, int32_t from,
                      const uint32_t *row)
{
    uint64_t operators = 0, faults = 0, moves = 0;

    for (uint32_t i = 0; i < v->s->n_choices; i++) {
        const struct flat_choice *c = &v->s->choices[i];

        operators += (c->kind == FLAT_OPERATOR || c->kind == FLAT_INPUT) &&
                     row[i] != c->rest;
        faults += c->kind == FLAT_FAULT && row[i] == 1;
    }
    for (uint32_t i = 0; i < v->s->n_motions; i++)
        moves += (uint64_t)root(v, &v->s->motions[i], from);
    return operators << 42 | faults << 21 | moves;
}

static void judge(struct naive *v, struct way *w, uint32_t level)
{
    const struct slice *s = v->s;

    for (uint32_t i = 0; i < s->n_ends && w->end == FLAT_NONE; i++)
        if (root(v, &s->ends[i], w->from))
            w->end = i;
    if (w->end != FLAT_NONE) {
        w->to = ENDED;
        if (!v->end_level[w->end])
            v->end_level[w->end] = level;
        return;
    }
    for (uint32_t i = 0; i < 3; i++) {
        w->watch[i] = root(v, &s->watches[i], w->from) != 0;
        if (w->watch[i] && !v->watch_level[i])
            v->watch_level[i] = level;
    }
    w->to = situation(v, w->from, level);
}

static void one_way(struct naive *v, int32_t from, const uint32_t *row,
                    uint32_t level)
{
    struct way w = {from, NOT_STORED, FLAT_NONE, true, false, {0}, 0, {0}};

    memcpy(w.row, row, v->s->n_choices * sizeof *row);
    evaluate(v, from, row);
    for (uint32_t i = 0; i < v->s->n_assumptions; i++)
        w.fits &= root(v, &v->s->assumptions[i], from) != 0;
    w.cost = price(v, from, row);
    if (w.fits)
        judge(v, &w, level);
    vec_push(&v->ways, w);
}

static bool is_fixed(const uint32_t *fixed, uint32_t row)
{
    return fixed && fixed[row] != FLAT_NONE;
}

/* The next vector in which rows of a sort (inputs or others) count up; false
 * after the last. */
static bool count_up(const struct slice *s, const uint32_t *fixed,
                     uint32_t *row, bool inputs)
{
    for (uint32_t i = 0; i < s->n_choices; i++) {
        if (is_input(&s->choices[i]) != inputs || is_fixed(fixed, i))
            continue;
        if (++row[i] < s->choices[i].count)
            return true;
        row[i] = 0;
    }
    return false;
}

static void note_dead(struct naive *v, int32_t from, uint32_t *row,
                      uint32_t level)
{
    const uint32_t *fixed = from < 0 ? v->fixed_first : v->fixed_next;
    struct way w = {from, NOT_STORED, FLAT_NONE, false, true, {0}, 0, {0}};

    for (uint32_t i = 0; i < v->s->n_choices; i++)
        w.row[i] = is_input(&v->s->choices[i]) && !is_fixed(fixed, i)
                       ? v->s->choices[i].rest
                       : row[i];
    evaluate(v, from, w.row);
    w.cost = price(v, from, w.row);
    if (v->dead_end == FLAT_NONE)
        v->dead_end = level - 1;
    vec_push(&v->ways, w);
}

static void all_ways(struct naive *v, int32_t from, uint32_t level)
{
    const uint32_t *fixed = from < 0 ? v->fixed_first : v->fixed_next;
    uint32_t row[MOST_ROWS] = {0};

    for (uint32_t i = 0; i < v->s->n_choices; i++)
        row[i] = is_fixed(fixed, i) ? fixed[i] : 0;
    do {
        size_t before = v->ways.n;
        bool fits = false;

        do
            one_way(v, from, row, level);
        while (count_up(v->s, fixed, row, true));
        for (size_t i = before; i < v->ways.n; i++)
            fits |= v->ways.at[i].fits;
        if (!fits)
            note_dead(v, from, row, level);
    } while (count_up(v->s, fixed, row, false));
}

static void naive_run(struct naive *v, const struct slice *s,
                      const struct explore_setting *setting)
{
    memset(v, 0, sizeof *v);
    v->s = s;
    v->fixed_first = setting->fixed_first;
    v->fixed_next = setting->fixed_next;
    v->dead_end = FLAT_NONE;
    v->value = calloc(s->n_nodes, sizeof *v->value);
    all_ways(v, -1, 1);
    for (int32_t i = 0; i < v->n && !v->too_many; i++)
        all_ways(v, i, v->level_of[i] + 1);
}

static void naive_release(struct naive *v)
{
    vec_release(&v->ways);
    free(v->value);
}

/* ---- canonical sequences, by the plain enumeration ---- */

struct goal {
    enum sequence_goal kind;
    bool any;
    uint32_t index, length;
    const uint32_t *fixed; /* length rows, or NULL */
};

static bool reaches(const struct way *w, const struct goal *g)
{
    if (g->any)
        return w->fits && w->to >= 0;
    if (g->kind == GOAL_WATCH)
        return w->fits && w->to >= 0 && w->watch[g->index];
    if (g->kind == GOAL_END)
        return w->fits && w->end == g->index;
    return w->dead;
}

static bool agrees(const struct naive *v, const struct goal *g,
                   const struct way *w, uint32_t scan)
{
    uint32_t n = v->s->n_choices;

    for (uint32_t i = 0; g->fixed && i < n; i++)
        if (g->fixed[(scan - 1) * n + i] != FLAT_NONE &&
            g->fixed[(scan - 1) * n + i] != w->row[i])
            return false;
    return true;
}

/* Least cost from situation s (row s + 1) after `scan` scans. */
static uint64_t *plan_costs(const struct naive *v, const struct goal *g)
{
    uint32_t width = (uint32_t)v->n + 1;
    uint64_t *least = malloc((g->length + 1) * width * sizeof *least);

    memset(least, 0xff, (g->length + 1) * width * sizeof *least);
    for (uint32_t scan = g->length; scan > 0; scan--)
        for (size_t i = 0; i < v->ways.n; i++) {
            const struct way *w = &v->ways.at[i];
            uint64_t *to = &least[(scan - 1) * width + w->from + 1];
            uint64_t sum = UINT64_MAX;

            if (!agrees(v, g, w, scan))
                continue;
            if (scan == g->length)
                sum = reaches(w, g) ? w->cost : UINT64_MAX;
            else if (w->fits && w->to >= 0 &&
                     least[scan * width + w->to + 1] != UINT64_MAX)
                sum = w->cost + least[scan * width + w->to + 1];
            if (sum < *to)
                *to = sum;
        }
    return least;
}

static uint32_t order(const struct flat_choice *c, uint32_t index)
{
    if (!is_input(c))
        return index;
    return index == c->rest ? 0 : index < c->rest ? index + 1 : index;
}

static bool smaller(const struct naive *v, const struct way *a,
                    const struct way *b)
{
    for (uint32_t i = 0; i < v->s->n_choices; i++) {
        uint32_t x = order(&v->s->choices[i], a->row[i]);
        uint32_t y = order(&v->s->choices[i], b->row[i]);

        if (x != y)
            return x < y;
    }
    return false;
}

static const struct way *best_way(const struct naive *v,
                                  const struct goal *g,
                                  const uint64_t *least, uint32_t scan,
                                  int32_t from)
{
    uint32_t width = (uint32_t)v->n + 1;
    const struct way *best = NULL;

    for (size_t i = 0; i < v->ways.n; i++) {
        const struct way *w = &v->ways.at[i];
        uint64_t sum = w->cost;

        if (w->from != from || !agrees(v, g, w, scan))
            continue;
        if (scan == g->length) {
            if (!reaches(w, g))
                continue;
        } else {
            if (!w->fits || w->to < 0 ||
                least[scan * width + w->to + 1] == UINT64_MAX)
                continue;
            sum += least[scan * width + w->to + 1];
        }
        if (sum == least[(scan - 1) * width + from + 1] &&
            (!best || smaller(v, w, best)))
            best = w;
    }
    return best;
}

static void same_sequence(const struct naive *v, const struct goal *g,
                          const struct sequence *found)
{
    uint64_t *least = plan_costs(v, g);
    uint32_t n = v->s->n_choices;
    int32_t from = -1;

    if (least[0] == UINT64_MAX) {
        assert_null(found);
        free(least);
        return;
    }
    assert_non_null(found);
    assert_int_equal(found->length, g->length);
    assert_int_equal(found->operator_cost << 42 | found->fault_cost << 21 |
                         found->movement_cost,
                     least[0]);
    for (uint32_t scan = 1; scan <= g->length; scan++) {
        const struct way *w = best_way(v, g, least, scan, from);

        assert_non_null(w);
        for (uint32_t i = 0; i < n; i++) {
            uint32_t index = found->choices[(scan - 1) * n + i];

            assert_int_equal(index, w->row[i]);
            if (!found->decided[(scan - 1) * n + i])
                assert_int_equal(index, at_rest(&v->s->choices[i]));
        }
        from = w->to;
    }
    free(least);
}

static void same_goals(const struct naive *v, struct exploration *x)
{
    struct arena *arena = arena_new();

    for (uint32_t i = 0; i < 3; i++) {
        struct goal g = {GOAL_WATCH, false, i, v->watch_level[i], NULL};
        const struct sequence *s = sequence_find(arena, x, GOAL_WATCH, i);

        if (g.length)
            same_sequence(v, &g, s);
        else
            assert_null(s);
    }
    for (uint32_t i = 0; i < v->s->n_ends; i++) {
        struct goal g = {GOAL_END, false, i, v->end_level[i], NULL};

        if (g.length)
            same_sequence(v, &g, sequence_find(arena, x, GOAL_END, i));
    }
    if (v->dead_end != FLAT_NONE) {
        struct goal g = {GOAL_DEAD_END, false, 0, v->dead_end + 1, NULL};

        same_sequence(v, &g, sequence_find(arena, x, GOAL_DEAD_END, 0));
    } else {
        assert_null(sequence_find(arena, x, GOAL_DEAD_END, 0));
    }
    arena_free(arena);
}

static void same_lengths(struct maker *m, const struct naive *v,
                         struct exploration *x)
{
    struct arena *arena = arena_new();

    for (uint32_t length = 1; length <= 4; length++) {
        uint32_t n = v->s->n_choices;
        uint32_t *fixed = arena_array(arena, (size_t)n * length,
                                      sizeof *fixed);
        struct goal g = {GOAL_WATCH, true, 0, length,
                         pick(m, 3) ? fixed : NULL};

        for (uint32_t i = 0; i < n * length; i++)
            fixed[i] = pick(m, 3)
                           ? FLAT_NONE
                           : pick(m, v->s->choices[i % n].count);
        same_sequence(v, &g,
                      sequence_of_length(arena, x, length, g.fixed));
    }
    arena_free(arena);
}

/* ---- what is the same ---- */

/* The engine's number of a situation of the enumeration. */
static uint64_t number_of(const struct naive *v,
                          const struct exploration *x, int32_t situation)
{
    for (uint64_t i = 0; i < exploration_situations(x); i++) {
        bool same = true;

        for (uint32_t c = 0; c < v->s->n_cells; c++)
            same &= exploration_value(x, i, c) == v->cells[situation][c];
        if (same)
            return i;
    }
    fail_msg("a situation is missing");
    return 0;
}

static void same_situations(const struct naive *v,
                            const struct exploration *x)
{
    uint32_t sizes[MOST_SITUATIONS + 2] = {0}, last = 0;

    assert_int_equal(exploration_end(x), EXPLORE_COMPLETE);
    assert_int_equal(exploration_situations(x), v->n);
    assert_int_equal(exploration_reduced(x), 0);
    for (int32_t i = 0; i < v->n; i++) {
        uint64_t first = 0, k = number_of(v, x, i);

        last = v->level_of[i];
        sizes[last]++;
        for (uint32_t l = 1; l < v->level_of[i]; l++)
            first += exploration_level_size(x, l);
        assert_true(k >= first);
        assert_true(k - first < exploration_level_size(x, last));
    }
    assert_int_equal(exploration_levels(x), last);
    for (uint32_t l = 1; l <= last + 1; l++)
        assert_int_equal(exploration_level_size(x, l), sizes[l]);
    for (uint32_t i = 0; i < 3; i++)
        assert_int_equal(exploration_watch_level(x, i), v->watch_level[i]);
    for (uint32_t i = 0; i < v->s->n_ends; i++)
        assert_int_equal(exploration_end_level(x, i), v->end_level[i]);
    assert_int_equal(exploration_dead_end(x), v->dead_end);
}

struct compare {
    struct naive *v;
    struct exploration *x;
    uint64_t covered;
};

/* An edge stands for all vectors that agree with what it decided: each of
 * them must lead where it leads. */
static bool same_edge(void *context, const struct edge *edge)
{
    struct compare *c = context;
    const struct slice *s = c->v->s;

    for (size_t i = 0; i < c->v->ways.n; i++) {
        const struct way *w = &c->v->ways.at[i];
        bool member = !w->dead;

        if (edge->from == UINT64_MAX ? w->from >= 0
                                     : w->from < 0 ||
                                           number_of(c->v, c->x, w->from) !=
                                               edge->from)
            continue;
        for (uint32_t r = 0; r < s->n_choices; r++)
            member &= edge->choice[r] == FLAT_NONE ||
                      edge->choice[r] == w->row[r];
        if (!member)
            continue;
        assert_true(w->fits);
        c->covered++;
        if (w->to == ENDED) {
            assert_true(edge->to == UINT64_MAX);
            continue;
        }
        assert_int_equal(edge->to, number_of(c->v, c->x, w->to));
        for (uint32_t k = 0; k < 3; k++)
            assert_int_equal(edge->watch[k], w->watch[k]);
        evaluate(c->v, w->from, w->row);
        assert_int_equal(edge->value[0],
                         root(c->v, &s->values[0], w->from));
    }
    return true;
}

static void same_edges(struct naive *v, struct exploration *x)
{
    struct compare c = {v, x, 0};
    uint64_t fits = 0;

    if (v->ways.n > 1500)
        return; /* the comparison is quadratic */
    assert_true(edges_all(x, same_edge, &c));
    for (size_t i = 0; i < v->ways.n; i++)
        fits += v->ways.at[i].fits;
    assert_int_equal(c.covered, fits);
}

struct tally {
    uint32_t compared, dead_ends, ends, deep;
};

/* Every third slice has some choices fixed. */
static void fix_some(struct maker *m, struct explore_setting *setting)
{
    size_t n = m->h.choices.n;
    uint32_t *first = arena_array(m->h.arena, n, sizeof *first);
    uint32_t *next = arena_array(m->h.arena, n, sizeof *next);

    for (size_t i = 0; i < n; i++) {
        uint32_t count = m->h.choices.at[i].count;

        first[i] = pick(m, 3) ? FLAT_NONE : pick(m, count);
        next[i] = pick(m, 3) ? FLAT_NONE : pick(m, count);
    }
    setting->fixed_first = first;
    setting->fixed_next = next;
}

/* A run that stops early must know the same about what it saw. */
static void same_when_stopped(const struct naive *v,
                              struct explore_setting setting)
{
    for (uint32_t i = 0; i < 3; i++) {
        struct goal g = {GOAL_WATCH, false, i, v->watch_level[i], NULL};
        struct arena *arena = arena_new();
        bool until[3] = {i == 0, i == 1, i == 2};
        struct exploration *x;

        setting.until = until;
        x = explore(v->s, &setting);
        assert_int_equal(exploration_end(x),
                         g.length ? EXPLORE_SEEN : EXPLORE_COMPLETE);
        assert_int_equal(exploration_watch_level(x, i), g.length);
        if (g.length) {
            assert_true(exploration_levels(x) == g.length - 1);
            same_sequence(v, &g, sequence_find(arena, x, GOAL_WATCH, i));
        }
        exploration_free(x);
        arena_free(arena);
    }
}

static void compare_one(uint64_t seed, struct tally *tally)
{
    struct explore_setting setting = {0};
    struct naive *v = malloc(sizeof *v);
    struct exploration *x;
    struct maker m;

    make_slice(&m, seed);
    if (seed % 3 == 0)
        fix_some(&m, &setting);
    naive_run(v, hand_slice(&m.h), &setting);
    if (!v->too_many) {
        x = explore(v->s, &setting);
        same_situations(v, x);
        same_goals(v, x);
        same_when_stopped(v, setting);
        if (!setting.fixed_first)
            same_lengths(&m, v, x);
        same_edges(v, x);
        tally->compared++;
        tally->dead_ends += v->dead_end != FLAT_NONE && v->dead_end > 0;
        tally->ends += v->s->n_ends && v->end_level[0] > 1;
        tally->deep += exploration_levels(x) > 3;
        exploration_free(x);
    }
    naive_release(v);
    free(v);
    hand_release(&m.h);
}

static void agrees_with_plain_enumeration(void **state)
{
    struct tally tally = {0};

    (void)state;
    for (uint64_t seed = 1; seed <= SLICES; seed++)
        compare_one(seed, &tally);
    print_message("compared %u slices: %u with a late dead end, %u with a "
                  "late end, %u deeper than 3\n",
                  tally.compared, tally.dead_ends, tally.ends, tally.deep);
    assert_true(tally.compared >= 300);
    assert_true(tally.dead_ends >= 10);
    assert_true(tally.ends >= 10);
    assert_true(tally.deep >= 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_plain_enumeration),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
