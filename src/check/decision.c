#include "check/decision.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "check/assigned.h"

bool decision_moves(const struct actuator *actuator)
{
    return actuator->type->kind == TYPE_BOOL &&
           (actuator->kind == SIGNAL_VALVE ||
            actuator->kind == SIGNAL_MOTOR ||
            actuator->kind == SIGNAL_OUTPUT);
}

/* ---- what an expression is made of ---- */

static bool is_bool(const struct code_expr *expr)
{
    return expr->type->kind == TYPE_BOOL;
}

/* Is it made of conditions, and none itself? */
static bool joins(const struct code_expr *expr)
{
    switch (expr->op) {
    case CODE_NOT: case CODE_AND: case CODE_OR: case CODE_XOR:
    case CODE_AND_THEN: case CODE_OR_ELSE:
        return true;
    case CODE_EQ: case CODE_NE:
        return is_bool(expr->left);
    default:
        return false;
    }
}

static bool same_variable(const struct code_variable *a,
                          const struct code_variable *b)
{
    return a->base == b->base && a->index == b->index &&
           a->offset == b->offset && a->n_steps == 0 && b->n_steps == 0;
}

/* In the same words, so that within one decision both have one value. */
static bool same_words(const struct code_expr *a, const struct code_expr *b)
{
    if (a->op != b->op || a->when != b->when || a->op >= CODE_CALL ||
        a->place != CODE_NO_SITE)
        return false;
    if (a->op == CODE_VARIABLE)
        return same_variable(&a->variable, &b->variable);
    if (a->value != b->value || a->index != b->index ||
        (a->left == NULL) != (b->left == NULL) ||
        (a->right == NULL) != (b->right == NULL))
        return false;
    return (a->left == NULL || same_words(a->left, b->left)) &&
           (a->right == NULL || same_words(a->right, b->right));
}

/* ---- making ---- */

struct making {
    struct arena *arena;
    const struct model *model;
    struct assigned assigned;
    bool *follows;               /* per slot */
    VEC(uint32_t) slots;         /* that are followed */
    VEC(const struct code_expr *) roots;
    VEC(const struct code_expr *) conditions; /* of the decision being made */
    VEC(uint32_t) of;            /* number of each of its conditions' places,
                                    in the order of the text */
    VEC(uint32_t) vectors;
    VEC(struct decision_pair) pairs;
    VEC(struct decision_part) parts;
};

/* So many slots. */
static void follow(struct making *m, uint32_t slot, uint32_t n)
{
    for (uint32_t i = slot; slot != MODEL_NONE && i < slot + n &&
                            i < m->model->n_slots; i++) {
        if (m->follows[i])
            continue;
        m->follows[i] = true;
        vec_push(&m->slots, i);
    }
}

static void add_condition(struct making *m, const struct code_expr *expr)
{
    uint32_t i = 0;

    while (i < m->conditions.n && !same_words(m->conditions.at[i], expr))
        i++;
    if (i == m->conditions.n)
        vec_push(&m->conditions, expr);
    vec_push(&m->of, i);
}

static void split(struct making *m, const struct code_expr *expr)
{
    if (!joins(expr)) {
        if (expr->op != CODE_CONST)
            add_condition(m, expr);
        return;
    }
    split(m, expr->left);
    if (expr->op != CODE_NOT)
        split(m, expr->right);
}

/* ---- which ones ---- */

static bool is_root(const struct making *m, const struct code_expr *expr)
{
    for (size_t i = 0; i < m->roots.n; i++)
        if (m->roots.at[i] == expr)
            return true;
    return false;
}

static void follow_read(struct making *m, uint32_t base,
                        const struct code_expr *expr)
{
    if (expr == NULL)
        return;
    if (expr->op == CODE_CALL)
        follow(m, expr->pou->frame + expr->pou->result, expr->type->size);
    if (expr->op == CODE_COMMANDED)
        follow(m, m->model->actuators[expr->index].command, 1);
    if (expr->op == CODE_VARIABLE)
        follow(m, assigned_slot(base, &expr->variable),
               code_reach(&expr->variable, expr->type->size));
    for (uint32_t i = 0;
         expr->op == CODE_VARIABLE && i < expr->variable.n_steps; i++)
        follow_read(m, base, expr->variable.steps[i].value);
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (expr->args[i].kind == ARG_INPUT)
            follow_read(m, base, expr->args[i].value);
    follow_read(m, base, expr->left);
    follow_read(m, base, expr->right);
}

static void add(struct making *m, const struct code_expr *expr)
{
    vec_clear(&m->conditions);
    vec_clear(&m->of);
    split(m, expr);
    if (m->conditions.n > 0 && !is_root(m, expr))
        vec_push(&m->roots, expr);
}

static void add_assignment(struct making *m, const struct assignment *a)
{
    for (const struct assigned_guard *g = a->guard; g != NULL; g = g->outer) {
        follow_read(m, g->base, g->condition);
        if (!a->in_review && !g->selects)
            add(m, g->condition);
    }
    if (a->value == NULL) {
        follow(m, a->from.first, a->from.n);
        return;
    }
    follow_read(m, a->base, a->value);
    if (!a->in_review && is_bool(a->value) && a->value->op != CODE_VARIABLE)
        add(m, a->value);
}

static void begin(struct making *m)
{
    for (uint32_t i = 0; i < m->model->n_actuators; i++) {
        const struct actuator *actuator = &m->model->actuators[i];

        if (decision_moves(actuator))
            follow(m, actuator->wired ? actuator->slot : actuator->command,
                   1);
    }
}

static int by_place(const void *one, const void *other)
{
    const struct span *a = &(*(const struct code_expr *const *)one)->span;
    const struct span *b = &(*(const struct code_expr *const *)other)->span;

    if (a->file != b->file)
        return a->file < b->file ? -1 : 1;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    return a->to < b->to ? -1 : a->to > b->to;
}

static void find(struct making *m)
{
    begin(m);
    for (size_t i = 0; i < m->slots.n; i++)
        for (size_t k = 0; k < m->assigned.all.n; k++) {
            const struct assignment *a = &m->assigned.all.at[k];

            if (m->slots.at[i] >= a->slot &&
                m->slots.at[i] - a->slot < a->reach)
                add_assignment(m, a);
        }
}

/* ---- each of them ---- */

/* Conditions have their values in the order of the text. */
static bool comes(const struct code_expr *expr, const uint32_t **of,
                  uint32_t vector)
{
    bool left, right;

    if (expr->op == CODE_CONST)
        return expr->value != 0;
    if (!joins(expr))
        return vector >> *(*of)++ & 1;
    left = comes(expr->left, of, vector);
    if (expr->op == CODE_NOT)
        return !left;
    right = comes(expr->right, of, vector);
    switch (expr->op) {
    case CODE_AND: case CODE_AND_THEN: return left && right;
    case CODE_OR: case CODE_OR_ELSE: return left || right;
    case CODE_EQ: return left == right;
    default: return left != right;
    }
}

static bool comes_out(const struct making *m, const struct code_expr *expr,
                      uint32_t vector)
{
    const uint32_t *of = m->of.at;

    return comes(expr, &of, vector);
}

static uint32_t row_of(const struct making *m, uint32_t vector)
{
    uint32_t row = 0;

    while (m->vectors.at[row] != vector)
        row++;
    return row;
}

static void find_vectors(struct making *m, const struct code_expr *expr)
{
    uint32_t n = (uint32_t)m->conditions.n;

    for (uint32_t v = 0; v < UINT32_C(1) << n; v++)
        for (uint32_t i = 0; i < n; i++)
            if (comes_out(m, expr, v) !=
                comes_out(m, expr, v ^ UINT32_C(1) << i)) {
                vec_push(&m->vectors, v);
                break;
            }
}

static void find_pairs(struct making *m, const struct code_expr *expr)
{
    for (uint32_t i = 0; i < m->conditions.n; i++)
        for (size_t k = 0; k < m->vectors.n; k++) {
            uint32_t v = m->vectors.at[k], with = v | UINT32_C(1) << i;

            if (v != with && comes_out(m, expr, v) != comes_out(m, expr, with))
                vec_push(&m->pairs,
                         ((struct decision_pair){
                             i, {(uint32_t)k, row_of(m, with)}}));
        }
}

static void *keep(struct making *m, const void *rows, size_t n, size_t size)
{
    void *kept = arena_array(m->arena, n + 1, size);

    if (n > 0)
        memcpy(kept, rows, n * size);
    return kept;
}

/* The places of its conditions, in the order in which they were split. */
static void note_parts(struct making *m, const struct code_expr *expr,
                       const uint32_t **of, uint32_t first)
{
    if (!joins(expr)) {
        if (expr->op != CODE_CONST)
            vec_push(&m->parts, ((struct decision_part){
                                    expr, MODEL_NONE, first + *(*of)++}));
        return;
    }
    note_parts(m, expr->left, of, first);
    if (expr->op != CODE_NOT)
        note_parts(m, expr->right, of, first);
}

static void make(struct making *m, struct decisions *all,
                 struct decision *decision, const struct code_expr *expr)
{
    const uint32_t *of;
    size_t n = m->parts.n;

    vec_clear(&m->conditions);
    vec_clear(&m->of);
    vec_clear(&m->vectors);
    vec_clear(&m->pairs);
    split(m, expr);
    if (m->conditions.n <= DECISION_MOST_CONDITIONS)
        find_vectors(m, expr);
    if (m->vectors.n > DECISION_MOST_VECTORS)
        vec_clear(&m->vectors);
    find_pairs(m, expr);
    *decision = (struct decision){
        .expr = expr,
        .conditions = keep(m, m->conditions.at, m->conditions.n,
                           sizeof *m->conditions.at),
        .n_conditions = (uint32_t)m->conditions.n,
        .first = all->n_conditions,
        .vectors = keep(m, m->vectors.at, m->vectors.n,
                        sizeof *m->vectors.at),
        .n_vectors = (uint32_t)m->vectors.n,
        .first_vector = all->n_vectors,
        .pairs = keep(m, m->pairs.at, m->pairs.n, sizeof *m->pairs.at),
        .n_pairs = (uint32_t)m->pairs.n,
    };
    all->n_conditions += decision->n_conditions;
    all->n_vectors += decision->n_vectors;
    of = m->of.at;
    note_parts(m, expr, &of, decision->first);
    if (joins(expr))
        vec_push(&m->parts, ((struct decision_part){
                                expr, all->n, MODEL_NONE}));
    else
        m->parts.at[n].decision = all->n;
    all->n++;
}

/* ---- the table ---- */

static uint32_t spot_of(const struct decision_part *table, uint32_t n,
                        const struct code_expr *expr)
{
    uint32_t at = (uint32_t)hash_word((uint64_t)(uintptr_t)expr) & (n - 1);

    while (table[at].expr != NULL && table[at].expr != expr)
        at = (at + 1) & (n - 1);
    return at;
}

static void make_table(struct making *m, struct decisions *all)
{
    struct decision_part *table;

    all->n_parts = 2;
    while (all->n_parts < 2 * m->parts.n)
        all->n_parts *= 2;
    table = arena_array(m->arena, all->n_parts, sizeof *table);
    for (size_t i = 0; i < m->parts.n; i++) {
        uint32_t at = spot_of(table, all->n_parts, m->parts.at[i].expr);

        ENSURE(table[at].expr == NULL);
        table[at] = m->parts.at[i];
    }
    all->parts = table;
}

const struct decision_part *decisions_part(const struct decisions *decisions,
                                           const struct code_expr *expr)
{
    const struct decision_part *part =
        &decisions->parts[spot_of(decisions->parts, decisions->n_parts, expr)];

    return part->expr != NULL ? part : NULL;
}

static void release(struct making *m)
{
    assigned_release(&m->assigned);
    vec_release(&m->slots);
    vec_release(&m->roots);
    vec_release(&m->conditions);
    vec_release(&m->of);
    vec_release(&m->vectors);
    vec_release(&m->pairs);
    vec_release(&m->parts);
}

const struct decisions *decisions_of(struct arena *arena,
                                     const struct model *model)
{
    struct decisions *all = ARENA_NEW(arena, struct decisions);
    struct making m = {.arena = arena, .model = model};
    struct decision *rows;

    m.follows = arena_array(arena, model->n_slots + 1, sizeof *m.follows);
    assigned_find(&m.assigned, arena, model);
    find(&m);
    if (m.roots.n > 0)
        qsort(m.roots.at, m.roots.n, sizeof *m.roots.at, by_place);
    rows = arena_array(arena, m.roots.n + 1, sizeof *rows);
    for (size_t i = 0; i < m.roots.n; i++)
        make(&m, all, &rows[i], m.roots.at[i]);
    all->at = rows;
    make_table(&m, all);
    release(&m);
    return all;
}
