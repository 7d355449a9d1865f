#include "study/written.h"

#include <string.h>

#include "base/arena.h"
#include "study/writtenblock.h"
#include "study/writtenexpr.h"

/* Passes that are written out: of one loop, and of all in a scan.  Statements
 * behind such as may leave, each inside the one before. */
enum { MOST_PASSES = 64, MOST_IN_ALL = 2000, MOST_NESTED = 200 };

static const struct type truth = {.kind = TYPE_BOOL, .high = 1, .size = 1};

static void run(struct written_walk *w, uint32_t base,
                const struct code_stmt *stmts, uint32_t n);

static void assign(struct written_walk *w, uint32_t base,
                   const struct code_stmt *stmt)
{
    uint32_t n = stmt->target_type != NULL ? stmt->target_type->size : 1;
    const struct written **value =
        arena_array(w->arena, (size_t)n + 1, sizeof *value);

    writtenexpr_values(w, base, stmt->value, value, n);
    writtenexpr_store(w, base,
                      &(struct written_to){&stmt->target, stmt->span}, value,
                      n);
}

/* ---- calls ---- */

static void fresh(struct written_walk *w, const struct code_pou *pou,
                  uint32_t base)
{
    for (uint32_t i = 0; i < pou->n_vars; i++) {
        const struct code_frame_var *var = &pou->vars[i];

        for (uint32_t k = 0; var->temp && var->type != NULL &&
                             k < var->type->size; k++)
            written_assign(w, base + var->offset + k,
                           written_const(w->arena, var->initials != NULL
                                                       ? var->initials[k]
                                                       : var->initial,
                                         var->type), NULL);
    }
}

static void call_known(struct written_walk *w, uint32_t base, uint32_t inner,
                       const struct code_stmt *stmt)
{
    const struct written_call call = {stmt->pou, stmt->args, stmt->n_args,
                                      stmt->span};
    const uint32_t *alias = w->alias;
    const uint32_t *lent = writtenexpr_lend(w, base, &call);
    const struct written *const *const *given =
        writtenexpr_inputs(w, base, &call);

    fresh(w, stmt->pou, inner);
    for (uint32_t i = 0; i < stmt->n_args; i++)
        for (uint32_t k = 0; given[i] != NULL &&
                             k < writtenexpr_width(&stmt->args[i]); k++)
            written_assign(w, inner + stmt->args[i].parameter + k,
                           given[i][k], &stmt->span);
    w->alias = lent;
    if (stmt->pou->standard != STANDARD_NONE)
        writtenblock_call(w, inner, stmt);
    else
        w->run(w, inner, stmt->pou->body, stmt->pou->n_body);
    w->alias = alias;
    writtenexpr_give_back(w, base, &call, inner);
}

/* Nobody knows which instance of several runs: each may. */
static void call_any(struct written_walk *w, uint32_t base,
                     const struct written_place *place,
                     const struct code_stmt *stmt)
{
    const struct written *vague = w->vague;

    w->vague = written_reckoned(w->arena, place->from, vague, NULL);
    for (uint32_t at = 0; stmt->pou->size > 0 && place->slot != MODEL_NONE &&
                          at + stmt->pou->size <= place->reach;
         at += stmt->pou->size)
        call_known(w, base, place->slot + at, stmt);
    w->vague = vague;
}

static void invoke(struct written_walk *w, uint32_t base,
                   const struct code_stmt *stmt)
{
    struct written_place place =
        writtenexpr_place(w, base, &stmt->instance, stmt->pou->size);

    if (place.known)
        call_known(w, base, place.slot, stmt);
    else
        call_any(w, base, &place, stmt);
}

/* ---- branches ---- */

static const struct written *label_condition(struct written_walk *w,
                                             const struct written *selector,
                                             const struct code_branch *branch)
{
    const struct written *any = NULL;

    for (uint32_t i = 0; i < branch->n_labels; i++) {
        const struct code_label *label = &branch->labels[i];
        const struct written *low =
            written_const(w->arena, label->low, selector->type);
        const struct written *high =
            written_const(w->arena, label->high, selector->type);
        const struct written *one = written_pair(
            w->arena, WRITTEN_EQ, selector, low, w->truth);

        if (label->low != label->high)
            one = written_pair(
                w->arena, WRITTEN_AND,
                written_pair(w->arena, WRITTEN_LE, low, selector, w->truth),
                written_pair(w->arena, WRITTEN_LE, selector, high, w->truth),
                w->truth);
        any = any == NULL ? one
                          : written_pair(w->arena, WRITTEN_OR, any, one,
                                         w->truth);
    }
    return any;
}

/* NULL: ELSE. */
static const struct written *branch_condition(
    struct written_walk *w, uint32_t base, const struct code_stmt *stmt,
    const struct code_branch *branch)
{
    if (stmt->kind == CODE_MAY)
        return written_leaf(w->arena, WRITTEN_OPEN, 0, w->truth);
    if (stmt->kind == CODE_IF)
        return branch->condition == NULL
                   ? NULL : writtenexpr_value(w, base, branch->condition);
    return label_condition(w, writtenexpr_value(w, base, stmt->value),
                           branch);
}

/* Branches from number `at` on; what is behind a branch runs where its
 * condition does not hold. */
static void branches(struct written_walk *w, uint32_t base,
                     const struct code_stmt *stmt, uint32_t at)
{
    const struct written *condition;
    struct written_changes yes, no;
    size_t mark;

    if (at == stmt->n_branches)
        return;
    condition = branch_condition(w, base, stmt, &stmt->branches[at]);
    mark = w->log.n;
    run(w, base, stmt->branches[at].body, stmt->branches[at].n_body);
    if (condition == NULL)
        return; /* ELSE */
    yes = written_since(w, mark, true);
    branches(w, base, stmt, at + 1);
    no = written_since(w, mark, false);
    for (size_t i = 0; i < no.n; i++) {
        struct written_change was = no.at[i];
        size_t k = 0;

        while (k < yes.n && yes.at[k].slot != was.slot)
            k++;
        if (k == yes.n) /* in the branch as before it */
            written_merge(w, condition, was.slot, was.value,
                          w->now[was.slot]);
    }
    for (size_t i = 0; i < yes.n; i++)
        written_merge(w, condition, yes.at[i].slot, yes.at[i].value,
                      w->now[yes.at[i].slot]);
}

/* Statements that run where nothing was left before. */
static void run_where(struct written_walk *w, uint32_t base,
                      const struct code_stmt *stmts, uint32_t n)
{
    const struct written *live = written_live(w);
    size_t mark = w->log.n;
    struct written_changes yes;

    run(w, base, stmts, n);
    if (written_is(live, 1))
        return;
    yes = written_since(w, mark, true);
    for (size_t i = 0; i < yes.n; i++)
        written_merge(w, live, yes.at[i].slot, yes.at[i].value,
                      w->now[yes.at[i].slot]);
}

/* ---- loops ---- */

struct loop {
    const struct code_stmt *stmt;
    uint32_t base;
    const struct written *from, *to, *by; /* FOR */
    uint32_t left, skipped;        /* flags: EXIT, CONTINUE */
};

static const struct written *goes_on(struct written_walk *w,
                                     const struct loop *loop, uint32_t pass)
{
    const struct code_stmt *stmt = loop->stmt;
    const struct written *i;

    if (stmt->kind == CODE_REPEAT && pass == 0)
        return written_const(w->arena, 1, w->truth);
    if (stmt->kind != CODE_FOR) {
        i = writtenexpr_value(w, loop->base, stmt->value);
        return stmt->kind == CODE_WHILE ? i : written_not(w->arena, i);
    }
    if (loop->by->op != WRITTEN_CONST)
        return written_leaf(w->arena, WRITTEN_OPEN, 0, w->truth);
    i = writtenexpr_value(w, loop->base, stmt->loop->counter);
    return loop->by->value > 0
               ? written_pair(w->arena, WRITTEN_LE, i, loop->to, w->truth)
               : written_pair(w->arena, WRITTEN_LE, loop->to, i, w->truth);
}

static void leave(struct written_walk *w, uint32_t flag)
{
    written_set(w, flag, written_const(w->arena, 1, w->truth));
}

static void set_counter(struct written_walk *w, const struct loop *loop,
                        const struct written *value)
{
    writtenexpr_store(w, loop->base,
                      &(struct written_to){&loop->stmt->target,
                                           loop->stmt->loop->head},
                      &value, 1);
}

/* One pass; false: it is known that it was the last one. */
static bool pass(struct written_walk *w, const struct loop *loop, uint32_t n)
{
    const struct code_stmt *stmt = loop->stmt;
    const struct written *stays = goes_on(w, loop, n);

    written_set(w, loop->left,
                written_pair(w->arena, WRITTEN_OR,
                             written_reached(w, loop->left),
                             written_not(w->arena, stays), w->truth));
    if (written_is(written_reached(w, loop->left), 1))
        return false;
    run_where(w, loop->base, stmt->branches[0].body,
              stmt->branches[0].n_body);
    written_set(w, loop->skipped, NULL);
    if (written_is(written_reached(w, loop->left), 1))
        return false;
    if (stmt->kind == CODE_FOR)
        set_counter(w, loop, written_pair(
            w->arena, WRITTEN_ADD,
            writtenexpr_value(w, loop->base, stmt->loop->counter), loop->by,
            stmt->target_type));
    return true;
}

/* Behind the loop the control variable is what it was where it was left. */
static void left_in(struct written_walk *w, const struct loop *loop)
{
    const struct written *live = written_live(w);
    bool known = live->op == WRITTEN_CONST &&
                 written_reached(w, loop->left)->op == WRITTEN_CONST;

    if (loop->stmt->kind == CODE_FOR && !known)
        set_counter(w, loop, written_reckoned(w->arena, live, NULL, NULL));
}

/* False: more passes may follow than are written out. */
static bool passes(struct written_walk *w, const struct loop *loop)
{
    const struct code_stmt *stmt = loop->stmt;

    for (uint32_t n = 0; n < stmt->loop->passes; n++) {
        if (n == MOST_PASSES || ++w->passes > MOST_IN_ALL)
            return false;
        if (!pass(w, loop, n))
            return true;
    }
    return true;
}

/* What was assigned since then has been reckoned in a way that is not
 * followed. */
static void forget(struct written_walk *w, size_t mark)
{
    struct written_changes changes = written_since(w, mark, false);

    for (size_t i = 0; i < changes.n; i++) {
        uint32_t slot = changes.at[i].slot;

        if (slot < w->model->n_slots)
            written_set(w, slot,
                        written_among(w->arena, written_reached(w, slot)));
    }
}

static void run_loop(struct written_walk *w, struct loop *loop)
{
    uint32_t flags = w->flags;
    const uint32_t *innermost = w->innermost;
    size_t mark = w->log.n;
    bool all;
    uint32_t mine[2];

    mine[0] = loop->left = written_flag(w);
    mine[1] = loop->skipped = written_flag(w);
    w->innermost = mine;
    if (loop->stmt->kind == CODE_FOR)
        set_counter(w, loop, loop->from);
    all = passes(w, loop);
    left_in(w, loop);
    w->innermost = innermost;
    written_flags_end(w, flags);
    if (!all)
        forget(w, mark);
}

static void loop(struct written_walk *w, uint32_t base,
                 const struct code_stmt *stmt)
{
    struct loop made = {.stmt = stmt, .base = base};

    if (stmt->kind == CODE_FOR) {
        made.from = writtenexpr_value(w, base, stmt->value);
        made.to = writtenexpr_value(w, base, stmt->loop->to);
        made.by = stmt->loop->by != NULL
                      ? writtenexpr_value(w, base, stmt->loop->by)
                      : written_const(w->arena, 1, stmt->target_type);
    }
    run_loop(w, &made);
    if (stmt->loop->asks) /* the controller decides what is left in it */
        set_counter(w, &made, written_leaf(w->arena, WRITTEN_OPEN, 0, NULL));
}

/* ---- statements ---- */

static void run_one(struct written_walk *w, uint32_t base,
                    const struct code_stmt *stmt)
{
    switch (stmt->kind) {
    case CODE_ASSIGN: assign(w, base, stmt); return;
    case CODE_INVOKE: invoke(w, base, stmt); return;
    case CODE_IF: case CODE_CASE: case CODE_MAY:
        branches(w, base, stmt, 0);
        return;
    case CODE_FOR: case CODE_WHILE: case CODE_REPEAT:
        loop(w, base, stmt);
        return;
    case CODE_EXIT: leave(w, w->innermost[0]); return;
    case CODE_CONTINUE: leave(w, w->innermost[1]); return;
    case CODE_RETURN: leave(w, w->returned); return;
    }
}

static bool leaves_pou(const struct code_stmt *stmts, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        if ((stmts[i].leaves & LEAVES_POU) != 0)
            return true;
    return false;
}

static void run(struct written_walk *w, uint32_t base,
                const struct code_stmt *stmts, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        run_one(w, base, &stmts[i]);
        if (stmts[i].leaves == 0 || i + 1 == n)
            continue;
        if (w->nested == MOST_NESTED) {
            w->vague = written_reckoned(w->arena, written_live(w), w->vague,
                                        NULL);
            continue;
        }
        w->nested++;
        run_where(w, base, &stmts[i + 1], n - i - 1);
        w->nested--;
        return;
    }
}

/* The body of a text: RETURN ends it. */
static void run_body(struct written_walk *w, uint32_t base,
                     const struct code_stmt *stmts, uint32_t n)
{
    uint32_t flags = w->flags, returned = w->returned;
    const struct written *vague = w->vague;

    if (leaves_pou(stmts, n))
        w->returned = written_flag(w);
    run(w, base, stmts, n);
    written_flags_end(w, flags);
    w->returned = returned;
    w->vague = vague;
}

/* ---- the whole ---- */

/* Without wiring an actuator is what it is told. */
static void actuators(struct written_walk *w)
{
    for (uint32_t i = 0; i < w->model->n_actuators; i++) {
        const struct actuator *actuator = &w->model->actuators[i];

        if (actuator->wired)
            continue;
        w->now[actuator->slot] = writtenexpr_command(w, i);
        if (actuator->command != MODEL_NONE)
            w->slots[actuator->slot] = w->slots[actuator->command];
    }
}

static void scan(struct written_walk *w, bool counting)
{
    const struct model *model = w->model;

    w->counting = counting;
    w->passes = 0;
    w->early = true;
    run(w, 0, model->wiring_in.stmts, model->wiring_in.n_stmts);
    w->early = false;
    for (uint32_t p = 0; p < model->n_programs; p++) {
        const struct program *program = &model->programs[p];

        fresh(w, program->pou, program->frame);
        run_body(w, program->frame, program->pou->body,
                 program->pou->n_body);
    }
    run(w, 0, model->wiring_out.stmts, model->wiring_out.n_stmts);
}

const struct written_slot *written_find(struct arena *arena,
                                        const struct model *model)
{
    size_t n = (size_t)model->n_slots + WRITTEN_FLAGS;
    struct written_walk w = {
        .arena = arena, .model = model, .truth = &truth,
        .run = run_body,
        .now = arena_array(arena, n, sizeof *w.now),
        .done = arena_array(arena, n, sizeof *w.done),
        .total = arena_array(arena, n, sizeof *w.total),
        .seen = arena_array(arena, n, sizeof *w.seen),
        .slots = arena_array(arena, n, sizeof *w.slots)};

    scan(&w, true);
    memset(w.now, 0, n * sizeof *w.now);
    vec_clear(&w.log);
    scan(&w, false);
    actuators(&w);
    for (uint32_t s = 0; s < model->n_slots; s++)
        if (w.now[s] != NULL && model->slots[s].home != SLOT_FUNCTION &&
            !model->slots[s].temp)
            w.slots[s].expr = w.now[s];
    vec_release(&w.log);
    return w.slots;
}
