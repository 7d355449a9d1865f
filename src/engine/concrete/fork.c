#include "engine/concrete/fork.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/plan.h"

static void add_reads(struct fork *f, struct plan_roots roots)
{
    if (roots.n > 0)
        memcpy(f->reads + f->n_reads, roots.at,
               roots.n * sizeof *f->reads);
    f->n_reads += roots.n;
}

struct fork *fork_new(struct arena *arena, struct eval *eval)
{
    const struct plan *p = eval->plan;
    struct fork *f = ARENA_NEW(arena, struct fork);
    size_t n = (size_t)p->ends.n + p->watches.n + p->cells.n + p->values.n;

    f->eval = eval;
    f->choice = arena_array(arena, p->n_choices, sizeof *f->choice);
    f->frames = arena_array(arena, p->n_choices, sizeof *f->frames);
    f->reads = arena_array(arena, n, sizeof *f->reads);
    add_reads(f, p->ends);
    add_reads(f, p->watches);
    add_reads(f, p->cells);
    add_reads(f, p->values);
    f->seen = arena_array(arena, p->n_nodes, sizeof *f->seen);
    f->stack = arena_array(arena, (size_t)p->n_nodes + 1, sizeof *f->stack);
    fork_fix(f, NULL);
    return f;
}

void fork_fix(struct fork *f, const uint32_t *fixed)
{
    uint32_t n = f->eval->plan->n_choices;

    for (uint32_t row = 0; row < n; row++)
        f->choice[row] = fixed ? fixed[row] : FLAT_NONE;
}

void fork_charge(struct fork *f, const uint64_t *price, const uint32_t *free)
{
    f->price = price;
    f->free = free;
}

void fork_limit(struct fork *f, uint64_t most, uint32_t must)
{
    f->most = most;
    f->must = must;
}

void fork_surpass(struct fork *f, const uint32_t *choices)
{
    f->surpass = choices;
}

void fork_begin(struct fork *f)
{
    /* an iteration that was left early still has its frames */
    while (f->depth > 0)
        f->choice[f->frames[--f->depth].row] = FLAT_NONE;
    f->spent = 0;
    fork_limit(f, UINT64_MAX, FLAT_NONE);
    fork_surpass(f, NULL);
    f->phase = FORK_OTHERS;
    f->started = f->fits = false;
    f->cursor = 0;
    f->ended = FLAT_NONE;
}

static uint64_t price(const struct fork *f, uint32_t row, uint32_t index)
{
    return f->price && index != f->free[row] ? f->price[row] : 0;
}

/* Does nothing that may follow from here come before what is to be
 * surpassed?  What is undecided may still come first. */
static bool comes_after(const struct fork *f)
{
    const struct plan *p = f->eval->plan;

    for (uint32_t row = 0; row < p->n_choices; row++) {
        const struct flat_choice *c = &p->choices[row];
        uint32_t least = f->choice[row] == FLAT_NONE
                             ? 0 : plan_place(c, f->choice[row]);
        uint32_t best = plan_place(c, f->surpass[row]);

        if (least != best)
            return least > best;
    }
    return true;
}

static bool is_left_out(const struct fork *f)
{
    const struct eval *e = f->eval;

    return f->spent > f->most || (f->surpass && comes_after(f)) ||
           (f->must != FLAT_NONE && e->known[f->must] && !e->value[f->must]);
}

static void push(struct fork *f, uint32_t row)
{
    struct fork_frame *frame = &f->frames[f->depth];

    ENSURE(f->depth < f->eval->plan->n_choices);
    ENSURE(f->choice[row] == FLAT_NONE);
    *frame = (struct fork_frame){row, 0, f->eval->n_trail, f->cursor,
                                 f->phase};
    f->depth++;
    f->choice[row] = 0;
    f->spent += price(f, row, 0);
    eval_decide(f->eval, row, 0);
}

/* Nodes of a cone are looked at once per search, which the stamp tells. */
static void new_stamp(struct fork *f)
{
    if (++f->stamp == 0) {
        memset(f->seen, 0, f->eval->plan->n_nodes * sizeof *f->seen);
        f->stamp = 1;
    }
}

static uint32_t visit(struct fork *f, uint32_t node, uint32_t n)
{
    const struct eval *e = f->eval;

    if (!e->plan->reads_other[node] || e->known[node] ||
        f->seen[node] == f->stamp)
        return n;
    f->seen[node] = f->stamp;
    f->stack[n] = node;
    return n + 1;
}

/* A choice that is not an input, anywhere in what an unknown node may still
 * depend on: all of it, not only what would be read first, since an input
 * must not be decided before such a choice.  Children are pushed when their
 * node is taken off, so n_nodes bounds the stack. */
static uint32_t find_other(struct fork *f, uint32_t root)
{
    const struct eval *e = f->eval;
    uint32_t n = visit(f, root, 0);

    while (n > 0) {
        uint32_t node = f->stack[--n];
        const struct plan_node *at = &e->plan->nodes[node];

        if (at->op == FLAT_CHOICE)
            return at->a;
        if (at->op == FLAT_ITE && e->known[at->a]) {
            n = visit(f, e->value[at->a] ? at->b : at->c, n);
            continue;
        }
        n = visit(f, at->a, n);
        if (at->op != FLAT_NOT)
            n = visit(f, at->b, n);
        if (at->op == FLAT_ITE)
            n = visit(f, at->c, n);
    }
    return FLAT_NONE;
}

static uint32_t other_of_assumptions(struct fork *f)
{
    const struct plan_roots *roots = &f->eval->plan->assumptions;
    uint32_t row = FLAT_NONE;

    new_stamp(f);
    for (uint32_t i = f->cursor; i < roots->n && row == FLAT_NONE; i++)
        row = find_other(f, roots->at[i]);
    return row;
}

enum reading {
    READING_FAILS, READING_LEFT_OUT, READING_PASSED, READING_ON
};

/* Are the assumptions decided, and how? */
static enum reading judge_assumptions(struct fork *f)
{
    const struct plan_roots *roots = &f->eval->plan->assumptions;
    const struct eval *e = f->eval;
    bool all = true;

    for (uint32_t i = f->cursor; i < roots->n; i++) {
        uint32_t node = roots->at[i];

        if (!e->known[node])
            all = false;
        else if (!e->value[node])
            return READING_FAILS;
        else if (all)
            f->cursor = i + 1;
    }
    return all ? READING_PASSED : READING_ON;
}

static enum reading assume(struct fork *f)
{
    enum reading reading = judge_assumptions(f);
    uint32_t row;

    if (reading == READING_PASSED) {
        f->fits = true;
        f->phase = FORK_READ;
        f->cursor = 0;
    }
    if (reading != READING_ON)
        return reading;
    if (f->phase == FORK_OTHERS) {
        row = other_of_assumptions(f);
        if (row != FLAT_NONE) {
            push(f, row);
            return READING_ON;
        }
        f->phase = FORK_INPUTS;
        f->fits = false;
    }
    push(f, eval_reads(f->eval, f->eval->plan->assumptions.at[f->cursor]));
    return READING_ON;
}

/* PASSED: a leaf. */
static enum reading read_on(struct fork *f)
{
    const struct eval *e = f->eval;
    uint32_t n_ends = e->plan->ends.n;

    for (; f->cursor < f->n_reads; f->cursor++) {
        uint32_t node = f->reads[f->cursor];

        if (!e->known[node]) {
            push(f, eval_reads(e, node));
            return READING_ON;
        }
        if (f->cursor < n_ends && e->value[node]) {
            f->ended = f->cursor;
            return READING_PASSED;
        }
    }
    return READING_PASSED;
}

/* Goes on deciding until there is a leaf (PASSED), an assumption fails, or it
 * is left out. */
static enum reading descend(struct fork *f)
{
    while (!is_left_out(f)) {
        bool reads = f->phase == FORK_READ;
        enum reading reading = reads ? read_on(f) : assume(f);

        if (reading == READING_FAILS || (reads && reading == READING_PASSED))
            return reading;
    }
    return READING_LEFT_OUT;
}

static bool is_first_input(const struct fork *f, uint32_t at)
{
    return f->frames[at].phase == FORK_INPUTS &&
           (at == 0 || f->frames[at - 1].phase == FORK_OTHERS);
}

/* To the next value of the last decision that has one: FORK_LEAF means that
 * it goes on from there.  When all inputs of a combination were tried and
 * none fitted, it stops once on the combination itself. */
static enum fork_event back(struct fork *f)
{
    while (f->depth > 0) {
        struct fork_frame *frame = &f->frames[f->depth - 1];
        uint32_t row = frame->row;

        eval_undo(f->eval, frame->mark);
        f->spent -= price(f, row, frame->index);
        f->cursor = frame->cursor;
        f->phase = frame->phase;
        f->ended = FLAT_NONE;
        if (++frame->index < f->eval->plan->choices[row].count) {
            f->choice[row] = frame->index;
            f->spent += price(f, row, frame->index);
            eval_decide(f->eval, row, frame->index);
            return FORK_LEAF;
        }
        f->choice[row] = FLAT_NONE;
        f->depth--;
        if (is_first_input(f, f->depth) && !f->fits)
            return FORK_DEAD_END;
    }
    return FORK_DONE;
}

enum fork_event fork_next(struct fork *f)
{
    for (;;) {
        if (f->started) {
            enum fork_event event = back(f);

            if (event != FORK_LEAF)
                return event;
        }
        f->started = true;
        switch (descend(f)) {
        case READING_PASSED: return FORK_LEAF;
        case READING_LEFT_OUT: return FORK_LEFT_OUT;
        default: break;
        }
        if (f->phase == FORK_OTHERS)
            return FORK_DEAD_END;
    }
}
