#include "tests/support/random_slice.h"

#include <string.h>

#include "base/arena.h"

uint32_t random_pick(struct random_slice *m, uint32_t n)
{
    m->seed = m->seed * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)(m->seed >> 33) % n;
}

static flat_expr number(struct random_slice *m, bool first, unsigned depth);

static flat_expr leaf(struct random_slice *m, bool first)
{
    if (!first && m->n_cells && random_pick(m, 2))
        return m->cell[random_pick(m, m->n_cells)];
    if (m->n_rows && random_pick(m, 4))
        return m->row[random_pick(m, m->n_rows)];
    return hand_const(&m->h, random_pick(m, 3));
}

static flat_expr truth(struct random_slice *m, bool first, unsigned depth)
{
    static const enum flat_op junction[] = {FLAT_AND, FLAT_OR, FLAT_AND,
                                            FLAT_OR, FLAT_XOR};
    static const enum flat_op relation[] = {FLAT_EQ, FLAT_LT, FLAT_LE};
    uint32_t kind = depth == 0 ? 9 : random_pick(m, 10);
    flat_expr a, b, c;

    if (kind >= 6) {
        a = number(m, first, depth ? depth - 1 : 0);
        b = random_pick(m, 2) ? hand_const(&m->h, random_pick(m, 3))
                       : number(m, first, depth ? depth - 1 : 0);
        return hand_op(&m->h, relation[random_pick(m, 3)], a, b);
    }
    a = truth(m, first, depth - 1);
    if (kind == 0)
        return hand_op(&m->h, FLAT_NOT, a, FLAT_NONE);
    b = truth(m, first, depth - 1);
    if (kind > 1)
        return hand_op(&m->h, junction[random_pick(m, 5)], a, b);
    c = truth(m, first, depth - 1);
    return hand_ite(&m->h, a, b, c);
}

static flat_expr number(struct random_slice *m, bool first, unsigned depth)
{
    static const enum flat_op ops[] = {FLAT_ADD, FLAT_SUB, FLAT_MUL,
                                       FLAT_DIV, FLAT_MOD, FLAT_MEET};
    flat_expr a, b, c;

    if (depth == 0 || random_pick(m, 3) == 0)
        return leaf(m, first);
    if (random_pick(m, 2)) {
        a = number(m, first, depth - 1);
        b = number(m, first, depth - 1);
        return hand_op(&m->h, ops[random_pick(m, 6)], a, b);
    }
    a = truth(m, first, depth - 1);
    b = number(m, first, depth - 1);
    c = number(m, first, depth - 1);
    return hand_ite(&m->h, a, b, c);
}

/* low + unit * (e modulo steps), never below low. */
static flat_expr stored(struct random_slice *m, const struct slice_cell *cell,
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

static void make_rows(struct random_slice *m)
{
    static const enum flat_kind kinds[] = {
        FLAT_TIME,     FLAT_POWER,    FLAT_FAULT,   FLAT_START,
        FLAT_PAST,     FLAT_MACHINE,  FLAT_MACHINE, FLAT_OPERATOR,
        FLAT_OPERATOR, FLAT_OPERATOR, FLAT_INPUT,   FLAT_SHARED};
    uint32_t all = 1, n = 1 + random_pick(m, RANDOM_MOST_ROWS - 1);

    for (uint32_t i = 0; i < n; i++) {
        enum flat_kind kind = kinds[random_pick(m, 12)];
        uint32_t count = kind == FLAT_FAULT || kind == FLAT_POWER
                             ? 2
                             : 2 + (random_pick(m, 4) == 0);
        uint32_t rest = kind < FLAT_OPERATOR ? 0 : random_pick(m, count);

        if (all * count > RANDOM_MOST_VECTORS)
            return;
        all *= count;
        m->row[m->n_rows++] = hand_choice(&m->h, kind, count, rest);
    }
}

/* Many cells count, else little would be far away. */
static flat_expr next_value(struct random_slice *m, uint32_t cell)
{
    flat_expr e = number(m, false, 1 + random_pick(m, 3));

    if (random_pick(m, 2))
        return e;
    e = hand_op(&m->h, FLAT_MUL, truth(m, false, 2),
                hand_const(&m->h, m->h.cells.at[cell].unit));
    e = hand_op(&m->h, FLAT_ADD, m->cell[cell], e);
    return hand_op(&m->h, FLAT_DIV, e,
                   hand_const(&m->h, m->h.cells.at[cell].unit));
}

static void make_cells(struct random_slice *m)
{
    m->n_cells = random_pick(m, RANDOM_MOST_CELLS + 1);
    for (uint32_t i = 0; i < m->n_cells; i++) {
        int64_t low = (int64_t)random_pick(m, 5) - 2;
        int64_t unit = 1 + random_pick(m, 3);

        m->cell[i] =
            hand_cell(&m->h, low, low + unit * (1 + random_pick(m, 4)), unit);
    }
    for (uint32_t i = 0; i < m->n_cells; i++) {
        struct slice_cell cell = m->h.cells.at[i];
        flat_expr first =
            stored(m, &cell, number(m, true, 1 + random_pick(m, 2)));
        flat_expr next = stored(m, &cell, next_value(m, i));

        hand_next(&m->h, m->cell[i], first, next);
    }
}

/* Mostly true, else little would be reachable. */
static flat_expr assumption(struct random_slice *m, bool first)
{
    flat_expr a = truth(m, first, 1 + random_pick(m, 2));
    flat_expr b = truth(m, first, 1 + random_pick(m, 2));

    if (random_pick(m, 3) == 0)
        return hand_ite(&m->h, a, b, truth(m, first, 1));
    return random_pick(m, 4) ? hand_op(&m->h, FLAT_OR, a, b) : a;
}

static flat_expr seldom(struct random_slice *m, bool first)
{
    flat_expr a = truth(m, first, 2), b = truth(m, first, 1);

    return hand_op(&m->h, FLAT_AND, a, b);
}

/* A movement asks for its choice: more of it never moves less. */
static void make_motions(struct random_slice *m)
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

void random_slice_make(struct random_slice *m, uint64_t seed)
{
    memset(m, 0, sizeof *m);
    m->seed = seed * 7919 + 11;
    hand_init(&m->h);
    make_rows(m);
    make_cells(m);
    for (uint32_t n = random_pick(m, 4); n > 0; n--) {
        flat_expr first = assumption(m, true);

        hand_assume(&m->h, first, assumption(m, false));
    }
    for (uint32_t n = random_pick(m, 3); n > 0; n--) {
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

void random_slice_fix(struct random_slice *m,
                      struct explore_setting *setting)
{
    size_t n = m->h.choices.n;
    uint32_t *first = arena_array(m->h.arena, n, sizeof *first);
    uint32_t *next = arena_array(m->h.arena, n, sizeof *next);

    for (size_t i = 0; i < n; i++) {
        uint32_t count = m->h.choices.at[i].count;

        first[i] = random_pick(m, 3) ? FLAT_NONE : random_pick(m, count);
        next[i] = random_pick(m, 3) ? FLAT_NONE : random_pick(m, count);
    }
    setting->fixed_first = first;
    setting->fixed_next = next;
}
