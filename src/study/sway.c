#include "study/sway.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"

enum { MOST_DEPTH = 200, MOST_CONDITIONS = 64 };

struct push {
    uint32_t from, to;
    int sign;
};

struct sway {
    const struct push *pushes; /* sorted by from */
    size_t n_pushes;
    const uint32_t *first; /* per slot, n_slots + 1 of them */
    bool *remembered;
    uint32_t n_slots;
    struct arena *arena;
};

/* What holds where a statement stands. */
struct condition {
    const struct code_expr *expr;
    int sign;
};

struct walk {
    const struct model *model;
    VEC(struct push) pushes;
    bool *remembered;
    struct condition conditions[MOST_CONDITIONS];
    uint32_t n_conditions;
    uint32_t frame, depth;
};

static void walk_body(struct walk *walk, const struct code_stmt *stmts,
                      uint32_t n);

/* The slot of a variable, MODEL_NONE for an alias.  Of an array the first
 * element stands for all that an index may name. */
static uint32_t slot_of(const struct walk *walk, struct code_variable v)
{
    return v.base == CODE_LOCAL    ? walk->frame + v.index
           : v.base == CODE_GLOBAL ? v.index
                                   : MODEL_NONE;
}

static void push(struct walk *walk, uint32_t from, uint32_t to, int sign)
{
    if (from < walk->model->n_slots && to < walk->model->n_slots)
        vec_push(&walk->pushes, ((struct push){from, to, sign}));
}

static void enter(struct walk *walk, const struct code_pou *pou,
                  uint32_t frame)
{
    uint32_t outer = walk->frame, conditions = walk->n_conditions;

    if (walk->depth >= MOST_DEPTH)
        return;
    walk->depth++;
    walk->frame = frame;
    walk->n_conditions = 0;
    walk_body(walk, pou->body, pou->n_body);
    walk->n_conditions = conditions;
    walk->frame = outer;
    walk->depth--;
}

/* ---- expressions ---- */

/* Comparison with a value: the first of a type is what FALSE is to BOOL. */
static int sign_of_comparison(const struct code_expr *expr)
{
    const struct code_expr *value =
        expr->right->op == CODE_CONST ? expr->right : expr->left;
    bool first = value->op == CODE_CONST && value->value == 0;

    return (expr->op == CODE_EQ) == first ? -1 : 1;
}

static void pushes_of(struct walk *walk, const struct code_expr *expr,
                      int sign, uint32_t to)
{
    if (!expr || walk->depth >= MOST_DEPTH)
        return;
    walk->depth++;
    if (expr->op == CODE_VARIABLE)
        push(walk, slot_of(walk, expr->variable), to, sign);
    if (expr->op == CODE_NOT)
        sign = -sign;
    if (expr->op == CODE_EQ || expr->op == CODE_NE)
        sign *= sign_of_comparison(expr);
    pushes_of(walk, expr->left, sign, to);
    pushes_of(walk, expr->right, sign, to);
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (expr->args[i].kind == ARG_INPUT)
            pushes_of(walk, expr->args[i].value, sign, to);
    walk->depth--;
}

/* ---- statements ---- */

static void remember(struct walk *walk, const struct code_expr *value)
{
    uint32_t slot = value->op == CODE_VARIABLE
                        ? slot_of(walk, value->variable)
                        : MODEL_NONE;

    if (slot != MODEL_NONE)
        walk->remembered[slot] = true;
}

static void assign(struct walk *walk, uint32_t to,
                   const struct code_expr *value)
{
    int sign = value->value != 0 ? 1 : -1;

    if (to == MODEL_NONE)
        return;
    pushes_of(walk, value, 1, to);
    if (!walk->n_conditions)
        remember(walk, value);
    for (uint32_t i = 0; value->op == CODE_CONST && i < walk->n_conditions;
         i++)
        pushes_of(walk, walk->conditions[i].expr,
                  sign * walk->conditions[i].sign, to);
}

static void standard(struct walk *walk, enum code_standard kind,
                     uint32_t frame)
{
    if (kind == STANDARD_SR || kind == STANDARD_RS) {
        push(walk, frame + LATCH_S, frame + LATCH_Q1, 1);
        push(walk, frame + LATCH_R, frame + LATCH_Q1, -1);
    } else if (kind == STANDARD_R_TRIG || kind == STANDARD_F_TRIG) {
        push(walk, frame + EDGE_CLK, frame + EDGE_Q,
             kind == STANDARD_R_TRIG ? 1 : -1);
    } else if (kind == STANDARD_TON || kind == STANDARD_TOF ||
               kind == STANDARD_TP) {
        push(walk, frame + TIMER_IN, frame + TIMER_Q, 1);
    }
}

static void invoke(struct walk *walk, const struct code_stmt *stmt)
{
    enum code_standard kind = stmt->pou->standard;
    bool edge = kind == STANDARD_R_TRIG || kind == STANDARD_F_TRIG;
    uint32_t frame = slot_of(walk, stmt->instance);

    if (frame == MODEL_NONE)
        return;
    for (uint32_t i = 0; i < stmt->n_args; i++) {
        const struct code_arg *arg = &stmt->args[i];

        if (arg->kind == ARG_INPUT)
            pushes_of(walk, arg->value, 1, frame + arg->parameter);
        if (arg->kind == ARG_INPUT && edge)
            remember(walk, arg->value);
        if (arg->kind == ARG_OUTPUT)
            push(walk, frame + arg->parameter, slot_of(walk, arg->target),
                 1);
    }
    if (kind == STANDARD_NONE)
        enter(walk, stmt->pou, frame);
    else
        standard(walk, kind, frame);
}

/* A branch runs where its condition holds and those before it do not. */
static void branches(struct walk *walk, const struct code_stmt *stmt)
{
    uint32_t conditions = walk->n_conditions;

    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        const struct code_branch *branch = &stmt->branches[i];
        uint32_t open = walk->n_conditions;
        bool room = branch->condition && open < MOST_CONDITIONS;

        if (room)
            walk->conditions[walk->n_conditions++] =
                (struct condition){branch->condition, 1};
        walk_body(walk, branch->body, branch->n_body);
        walk->n_conditions = open;
        if (room)
            walk->conditions[walk->n_conditions++] =
                (struct condition){branch->condition, -1};
    }
    walk->n_conditions = conditions;
}

static void walk_body(struct walk *walk, const struct code_stmt *stmts,
                      uint32_t n)
{
    if (walk->depth >= MOST_DEPTH)
        return;
    walk->depth++;
    for (uint32_t i = 0; i < n; i++) {
        const struct code_stmt *stmt = &stmts[i];

        if (stmt->kind == CODE_ASSIGN)
            assign(walk, slot_of(walk, stmt->target), stmt->value);
        else if (stmt->kind == CODE_INVOKE)
            invoke(walk, stmt);
        else
            branches(walk, stmt);
    }
    walk->depth--;
}

/* ---- the whole ---- */

static int by_from(const void *left, const void *right)
{
    const struct push *a = left, *b = right;

    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    return a->to != b->to ? (a->to < b->to ? -1 : 1) : a->sign - b->sign;
}

static void keep(struct sway *sway, struct walk *walk)
{
    size_t n = walk->pushes.n, at = 0;
    struct push *pushes = arena_array(sway->arena, n, sizeof *pushes);
    uint32_t *first =
        arena_array(sway->arena, sway->n_slots + 1, sizeof *first);

    if (n) {
        memcpy(pushes, walk->pushes.at, n * sizeof *pushes);
        qsort(pushes, n, sizeof *pushes, by_from);
    }
    for (uint32_t slot = 0; slot <= sway->n_slots; slot++) {
        while (at < n && pushes[at].from < slot)
            at++;
        first[slot] = (uint32_t)at;
    }
    sway->pushes = pushes;
    sway->n_pushes = n;
    sway->first = first;
}

struct sway *sway_of(struct arena *arena, const struct model *model)
{
    struct sway *sway = ARENA_NEW(arena, struct sway);
    struct walk walk = {.model = model};

    sway->arena = arena;
    sway->n_slots = model->n_slots;
    sway->remembered = arena_array(arena, model->n_slots + 1,
                                   sizeof *sway->remembered);
    walk.remembered = sway->remembered;
    for (uint32_t i = 0; i < model->n_programs; i++)
        enter(&walk, model->programs[i].pou, model->programs[i].frame);
    keep(sway, &walk);
    vec_release(&walk.pushes);
    return sway;
}

bool sway_remembered(const struct sway *sway, uint32_t slot)
{
    return sway->remembered[slot];
}

/* A search breadth first over slots with the sign they are reached with:
 * node = 2 * slot + (sign < 0). */
int sway_between(const struct sway *sway, uint32_t from, uint32_t to)
{
    uint32_t *distance = arena_array(sway->arena, 2 * sway->n_slots + 2,
                                     sizeof *distance);
    VEC(uint32_t) queue = {0};
    uint32_t plus, minus;

    vec_push(&queue, 2 * from);
    distance[2 * from] = 1;
    for (size_t at = 0; at < queue.n; at++) {
        uint32_t node = queue.at[at], slot = node / 2;

        for (uint32_t i = sway->first[slot]; i < sway->first[slot + 1];
             i++) {
            const struct push *push = &sway->pushes[i];
            uint32_t next = 2 * push->to + ((node & 1) ^ (push->sign < 0));

            if (distance[next])
                continue;
            distance[next] = distance[node] + 1;
            vec_push(&queue, next);
        }
    }
    vec_release(&queue);
    plus = distance[2 * to];
    minus = distance[2 * to + 1];
    if (plus == minus)
        return 0;
    return !minus || (plus && plus < minus) ? 1 : -1;
}
