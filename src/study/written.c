#include "study/written.h"

#include <string.h>

#include "base/arena.h"
#include "base/vec.h"

/* What a variable was before it was written, or became in a branch. */
struct change {
    uint32_t slot;
    const struct written *value;
};

/* A walk over all texts of a scan, in their order; the first one counts how
 * often each variable is assigned. */
struct walk {
    struct arena *arena;
    const struct model *model;
    const struct written **now; /* per slot; NULL: as before the scan */
    VEC(struct change) log;     /* what was there before each write */
    uint32_t *seen, round;      /* per slot: met in that round */
    uint32_t *done, *total;     /* assignments, per slot */
    struct written_slot *slots;
    bool counting;
    bool uncertain; /* a RETURN may have come before */
    bool early;     /* in WIRING IN: what comes behind is as it was */
};

static const struct written unknown = {.op = WRITTEN_UNKNOWN, .size = 1};

static void run(struct walk *w, uint32_t base, const struct code_stmt *stmts,
                uint32_t n);

static void set(struct walk *w, uint32_t slot, const struct written *value)
{
    vec_push(&w->log, ((struct change){slot, w->now[slot]}));
    w->now[slot] = value;
}

/* ---- expressions ---- */

static const struct written *make(struct walk *w, struct written made)
{
    struct written *kept;

    made.size = 1 + (made.a ? made.a->size : 0) +
                (made.b ? made.b->size : 0) + (made.c ? made.c->size : 0);
    if (made.size > WRITTEN_MOST)
        return &unknown;
    kept = ARENA_NEW(w->arena, struct written);
    *kept = made;
    return kept;
}

static const struct written *leaf(struct walk *w, enum written_op op,
                                  uint32_t index, const struct type *type)
{
    return make(w, (struct written){.op = op, .index = index, .type = type});
}

static const struct written *constant(struct walk *w, int64_t value,
                                      const struct type *type)
{
    return make(w, (struct written){.op = WRITTEN_CONST, .value = value,
                                    .type = type});
}

static const struct written *pair(struct walk *w, enum written_op op,
                                  const struct written *a,
                                  const struct written *b)
{
    return make(w, (struct written){.op = op, .a = a, .b = b});
}

static const struct written *not_of(struct walk *w, const struct written *a)
{
    return pair(w, WRITTEN_NOT, a, NULL);
}

static const struct written *choose(struct walk *w,
                                    const struct written *condition,
                                    const struct written *yes,
                                    const struct written *no)
{
    if (yes == no)
        return yes;
    return make(w, (struct written){.op = WRITTEN_IF, .a = condition,
                                    .b = yes, .c = no});
}

static const struct written *slot_now(struct walk *w, uint32_t slot)
{
    const struct slot *what = &w->model->slots[slot];

    if (what->home == SLOT_FUNCTION) /* always of the call at hand */
        return w->now[slot] != NULL ? w->now[slot]
                                    : constant(w, what->initial, what->type);
    if (what->driver == DRIVER_CONTACT && w->total[slot] == 0)
        return make(w, (struct written){
            .op = WRITTEN_CONTACT, .index = what->driver_index,
            .value = (int64_t)slot + 1, .type = what->type});
    if (what->driver == DRIVER_SENSOR && w->total[slot] == 0)
        return leaf(w, WRITTEN_SENSOR, what->driver_index, what->type);
    if (w->early &&
        (what->home == SLOT_ACTUATOR || what->home == SLOT_WIRING_OUT))
        return leaf(w, WRITTEN_BEFORE, slot, what->type);
    if (w->done[slot] == w->total[slot])
        return leaf(w, WRITTEN_NOW, slot, what->type);
    if (w->now[slot] == NULL)
        return leaf(w, WRITTEN_BEFORE, slot, what->type);
    return w->now[slot];
}

static const struct written *variable(struct walk *w, uint32_t base,
                                      const struct code_expr *expr)
{
    const struct code_variable *at = &expr->variable;

    if (at->base == CODE_IN_OUT || at->n_steps > 0)
        return &unknown;
    uint32_t slot = at->base == CODE_LOCAL ? base + at->index : at->index;

    if (expr->when != CODE_NOW)
        return leaf(w, WRITTEN_BEFORE, slot, w->model->slots[slot].type);
    return slot_now(w, slot);
}

static const struct written *commanded(struct walk *w, uint32_t actuator)
{
    uint32_t slot = w->model->actuators[actuator].command;

    if (slot == MODEL_NONE)
        return constant(w, 0, w->model->actuators[actuator].type);
    return w->now[slot] != NULL ? w->now[slot] : slot_now(w, slot);
}

static const struct written *eval(struct walk *w, uint32_t base,
                                  const struct code_expr *expr);

static const struct written *eval_leaf(struct walk *w, uint32_t base,
                                       const struct code_expr *expr)
{
    const struct model *model = w->model;

    switch (expr->op) {
    case CODE_CONST: return constant(w, expr->value, expr->type);
    case CODE_VARIABLE: return variable(w, base, expr);
    case CODE_READ: return slot_now(w, expr->index);
    case CODE_COMMANDED: return commanded(w, expr->index);
    case CODE_HAND:
        return leaf(w, WRITTEN_HAND, expr->index,
                    model->controls[expr->index].type);
    case CODE_CONTACT: case CODE_CONDUCTS:
        return leaf(w, WRITTEN_CONTACT, expr->index,
                    model->contacts[expr->index].type);
    case CODE_SENSOR: case CODE_SENSED:
        return leaf(w, WRITTEN_SENSOR, expr->index, expr->type);
    default: return &unknown;
    }
}

static const struct written *eval_pair(struct walk *w, uint32_t base,
                                       const struct code_expr *expr)
{
    const struct written *a = eval(w, base, expr->left);
    const struct written *b = eval(w, base, expr->right);

    switch (expr->op) {
    case CODE_AND: case CODE_AND_THEN: return pair(w, WRITTEN_AND, a, b);
    case CODE_OR: case CODE_OR_ELSE: return pair(w, WRITTEN_OR, a, b);
    case CODE_XOR: return pair(w, WRITTEN_XOR, a, b);
    case CODE_EQ: return pair(w, WRITTEN_EQ, a, b);
    case CODE_NE: return not_of(w, pair(w, WRITTEN_EQ, a, b));
    case CODE_LT: return pair(w, WRITTEN_LT, a, b);
    case CODE_LE: return pair(w, WRITTEN_LE, a, b);
    case CODE_GT: return pair(w, WRITTEN_LT, b, a);
    case CODE_GE: return pair(w, WRITTEN_LE, b, a);
    default: return &unknown;
    }
}

/* A function is written out where it is called. */
static const struct written *call(struct walk *w, uint32_t base,
                                  const struct code_expr *expr)
{
    const struct code_pou *pou = expr->pou;
    const struct written **value =
        arena_array(w->arena, expr->n_args + 1, sizeof *value);
    bool uncertain = w->uncertain;

    for (uint32_t i = 0; i < expr->n_args; i++) {
        if (expr->args[i].kind != ARG_INPUT ||
            (expr->args[i].target_type && expr->args[i].target_type->size != 1))
            return &unknown;
        value[i] = eval(w, base, expr->args[i].value);
    }
    for (uint32_t i = 0; i < pou->size; i++)
        set(w, pou->frame + i, NULL);
    for (uint32_t i = 0; i < expr->n_args; i++)
        set(w, pou->frame + expr->args[i].parameter, value[i]);
    w->uncertain = false;
    run(w, pou->frame, pou->body, pou->n_body);
    w->uncertain = uncertain;
    return slot_now(w, pou->frame + pou->result);
}

static const struct written *eval(struct walk *w, uint32_t base,
                                  const struct code_expr *expr)
{
    if (w->counting)
        return &unknown;
    if (expr->when == CODE_PREVIOUS && expr->op != CODE_VARIABLE)
        return &unknown;
    if (expr->op < CODE_NOT)
        return eval_leaf(w, base, expr);
    if (expr->op == CODE_NOT)
        return not_of(w, eval(w, base, expr->left));
    if (expr->op == CODE_CALL)
        return call(w, base, expr);
    if (expr->op <= CODE_GE && expr->place == CODE_NO_SITE)
        return eval_pair(w, base, expr);
    return &unknown;
}

/* ---- assignments ---- */

static void assign(struct walk *w, uint32_t slot,
                   const struct written *value, struct span span)
{
    struct written_slot *kept = &w->slots[slot];

    if (w->counting) {
        w->total[slot]++;
        return;
    }
    if (w->model->slots[slot].home == SLOT_FUNCTION) {
        set(w, slot, w->uncertain ? &unknown : value);
        return;
    }
    w->done[slot]++;
    set(w, slot, w->uncertain ? &unknown : value);
    if (kept->n_places == WRITTEN_PLACES)
        memmove(kept->places, kept->places + 1,
                (WRITTEN_PLACES - 1) * sizeof *kept->places);
    else
        kept->n_places++;
    kept->places[kept->n_places - 1] = span;
}

/* A variable of any shape gets a value that is not followed. */
static void blur(struct walk *w, uint32_t base,
                 const struct code_variable *target, const struct type *type,
                 struct span span)
{
    uint32_t reach = code_reach(target, type != NULL ? type->size : 1);
    uint32_t slot = target->base == CODE_LOCAL ? base + target->index
                                               : target->index;

    if (target->base == CODE_IN_OUT)
        return; /* blurred where it was bound */
    for (uint32_t i = 0; i < reach && slot + i < w->model->n_slots; i++)
        assign(w, slot + i, &unknown, span);
}

static void store(struct walk *w, uint32_t base,
                  const struct code_stmt *stmt)
{
    const struct code_variable *target = &stmt->target;
    const struct written *value = eval(w, base, stmt->value);

    if (target->base == CODE_IN_OUT || target->n_steps > 0 ||
        (stmt->target_type != NULL && stmt->target_type->size != 1))
        blur(w, base, target, stmt->target_type, stmt->span);
    else
        assign(w, target->base == CODE_LOCAL ? base + target->index
                                             : target->index,
               value, stmt->span);
}

/* ---- calls ---- */

static void call_inputs(struct walk *w, uint32_t base, uint32_t inner,
                        const struct code_stmt *stmt)
{
    const struct written **value =
        arena_array(w->arena, stmt->n_args + 1, sizeof *value);

    for (uint32_t i = 0; i < stmt->n_args; i++)
        if (stmt->args[i].kind == ARG_INPUT)
            value[i] = eval(w, base, stmt->args[i].value);
    for (uint32_t i = 0; i < stmt->n_args; i++) {
        const struct code_arg *arg = &stmt->args[i];
        uint32_t size = arg->target_type ? arg->target_type->size : 1;

        for (uint32_t k = 0; arg->kind == ARG_INPUT && k < size; k++)
            assign(w, inner + arg->parameter + k,
                   size == 1 ? value[i] : &unknown, stmt->span);
    }
}

static void call_outputs(struct walk *w, uint32_t base, uint32_t inner,
                         const struct code_stmt *stmt)
{
    for (uint32_t i = 0; i < stmt->n_args; i++) {
        const struct code_arg *arg = &stmt->args[i];
        bool plain = arg->kind == ARG_OUTPUT && arg->target.n_steps == 0 &&
                     arg->target.base != CODE_IN_OUT &&
                     (!arg->target_type || arg->target_type->size == 1);

        if (arg->kind == ARG_INPUT)
            continue;
        if (plain)
            assign(w, arg->target.base == CODE_LOCAL
                          ? base + arg->target.index : arg->target.index,
                   w->counting ? &unknown
                               : slot_now(w, inner + arg->parameter),
                   stmt->span);
        else
            blur(w, base, &arg->target, arg->target_type, stmt->span);
    }
}

/* What Q of a standard block says, as far as it can be said in words. */
static const struct written *standard_q(struct walk *w, uint32_t inner,
                                        enum code_standard standard)
{
    const struct type *truth = w->model->slots[inner].type;
    const struct written *in, *before, *time;

    if (w->counting)
        return &unknown;
    in = slot_now(w, inner);
    before = leaf(w, WRITTEN_BEFORE, inner, truth);
    time = leaf(w, WRITTEN_TIME, inner, truth);
    switch (standard) {
    case STANDARD_TON: return pair(w, WRITTEN_AND, in, time);
    case STANDARD_TOF: return pair(w, WRITTEN_OR, in, not_of(w, time));
    case STANDARD_R_TRIG:
        return pair(w, WRITTEN_AND, in, not_of(w, before));
    case STANDARD_F_TRIG:
        return pair(w, WRITTEN_AND, not_of(w, in), before);
    default: return &unknown;
    }
}

static bool is_q(enum code_standard standard, uint32_t offset)
{
    bool timer = standard == STANDARD_TON || standard == STANDARD_TOF;
    bool edge = standard == STANDARD_R_TRIG || standard == STANDARD_F_TRIG;

    return (timer && offset == TIMER_Q) || (edge && offset == EDGE_Q);
}

/* Inputs of a standard block are what the call gives, its Q is told in words;
 * all else is its own affair. */
static void standard_call(struct walk *w, uint32_t inner,
                          const struct code_stmt *stmt)
{
    for (uint32_t i = 0; i < stmt->pou->n_vars; i++) {
        uint32_t offset = stmt->pou->vars[i].offset;
        bool given = false;

        for (uint32_t k = 0; k < stmt->n_args; k++)
            given = given || (stmt->args[k].kind == ARG_INPUT &&
                              stmt->args[k].parameter == offset);
        if (!given)
            assign(w, inner + offset,
                   is_q(stmt->pou->standard, offset)
                       ? standard_q(w, inner, stmt->pou->standard)
                       : &unknown, stmt->span);
    }
}

static void fresh(struct walk *w, const struct code_pou *pou, uint32_t base)
{
    for (uint32_t i = 0; i < pou->n_vars; i++) {
        const struct code_frame_var *var = &pou->vars[i];

        if (var->temp && var->type != NULL && var->type->size == 1)
            assign(w, base + var->offset,
                   constant(w, var->initial, var->type), var->span);
    }
}

static void invoke(struct walk *w, uint32_t base,
                   const struct code_stmt *stmt)
{
    uint32_t inner = stmt->instance.base == CODE_LOCAL
                         ? base + stmt->instance.index
                         : stmt->instance.index;
    bool uncertain = w->uncertain;

    if (stmt->instance.n_steps > 0 || stmt->instance.base == CODE_IN_OUT) {
        w->uncertain = true; /* nobody knows which instance runs */
        return;
    }
    fresh(w, stmt->pou, inner);
    call_inputs(w, base, inner, stmt);
    if (stmt->pou->standard != STANDARD_NONE)
        standard_call(w, inner, stmt);
    else
        run(w, inner, stmt->pou->body, stmt->pou->n_body);
    w->uncertain = uncertain;
    call_outputs(w, base, inner, stmt);
}

/* ---- branches ---- */

static const struct written *label_condition(struct walk *w,
                                             const struct written *selector,
                                             const struct code_branch *branch)
{
    const struct written *any = NULL;

    for (uint32_t i = 0; i < branch->n_labels; i++) {
        const struct code_label *label = &branch->labels[i];
        const struct written *one =
            label->low == label->high
                ? pair(w, WRITTEN_EQ, selector,
                       constant(w, label->low, selector->type))
                : pair(w, WRITTEN_AND,
                       pair(w, WRITTEN_LE,
                            constant(w, label->low, selector->type),
                            selector),
                       pair(w, WRITTEN_LE, selector,
                            constant(w, label->high, selector->type)));

        any = any == NULL ? one : pair(w, WRITTEN_OR, any, one);
    }
    return any;
}

static const struct written *branch_condition(
    struct walk *w, uint32_t base, const struct code_stmt *stmt,
    const struct code_branch *branch)
{
    if (stmt->kind == CODE_MAY)
        return &unknown;
    if (stmt->kind == CODE_IF)
        return branch->condition == NULL ? NULL
                                         : eval(w, base, branch->condition);
    return label_condition(w, eval(w, base, stmt->value), branch);
}

static const struct written *before_of(struct walk *w, uint32_t slot,
                                       const struct written *value)
{
    const struct slot *what = &w->model->slots[slot];

    if (value != NULL)
        return value;
    return what->home == SLOT_FUNCTION
               ? constant(w, what->initial, what->type)
               : leaf(w, WRITTEN_BEFORE, slot, what->type);
}

/* The slots written since then, each once, with what they are now (back: all
 * is as it was then) or were then. */
struct changes {
    struct change *at;
    size_t n;
};

static struct changes changes_since(struct walk *w, size_t mark, bool back)
{
    struct changes found = {
        arena_array(w->arena, w->log.n - mark + 1, sizeof *found.at), 0};

    w->round++;
    for (size_t i = mark; i < w->log.n; i++) {
        struct change change = w->log.at[i];

        if (w->seen[change.slot] == w->round)
            continue;
        w->seen[change.slot] = w->round;
        found.at[found.n++] = (struct change){
            change.slot, back ? w->now[change.slot] : change.value};
    }
    for (size_t i = w->log.n; back && i > mark; i--)
        w->now[w->log.at[i - 1].slot] = w->log.at[i - 1].value;
    if (back)
        w->log.n = mark;
    return found;
}

static void merge(struct walk *w, const struct written *condition,
                  uint32_t slot, const struct written *yes,
                  const struct written *no)
{
    if (yes != no)
        set(w, slot, choose(w, condition, before_of(w, slot, yes),
                            before_of(w, slot, no)));
}

/* Branches from number `at` on; what is behind a branch runs where its
 * condition does not hold. */
static void branches(struct walk *w, uint32_t base,
                     const struct code_stmt *stmt, uint32_t at)
{
    const struct written *condition;
    struct changes yes, no;
    size_t mark;

    if (at == stmt->n_branches)
        return;
    condition = branch_condition(w, base, stmt, &stmt->branches[at]);
    mark = w->log.n;
    run(w, base, stmt->branches[at].body, stmt->branches[at].n_body);
    if (condition == NULL)
        return; /* ELSE */
    yes = changes_since(w, mark, true);
    branches(w, base, stmt, at + 1);
    no = changes_since(w, mark, false);
    for (size_t i = 0; i < no.n; i++) {
        struct change was = no.at[i];
        size_t k = 0;

        while (k < yes.n && yes.at[k].slot != was.slot)
            k++;
        if (k == yes.n) /* in the branch as before it */
            merge(w, condition, was.slot, was.value, w->now[was.slot]);
    }
    for (size_t i = 0; i < yes.n; i++)
        merge(w, condition, yes.at[i].slot, yes.at[i].value,
              w->now[yes.at[i].slot]);
}

/* What a loop assigns is not followed. */
static void loop(struct walk *w, uint32_t base, const struct code_stmt *stmt)
{
    bool uncertain = w->uncertain;

    w->uncertain = true;
    if (stmt->kind == CODE_FOR)
        blur(w, base, &stmt->target, stmt->target_type, stmt->span);
    for (uint32_t i = 0; i < stmt->n_branches; i++)
        run(w, base, stmt->branches[i].body, stmt->branches[i].n_body);
    w->uncertain = uncertain;
}

static void run_one(struct walk *w, uint32_t base,
                    const struct code_stmt *stmt)
{
    switch (stmt->kind) {
    case CODE_ASSIGN: store(w, base, stmt); return;
    case CODE_INVOKE: invoke(w, base, stmt); return;
    case CODE_IF: case CODE_CASE: case CODE_MAY:
        branches(w, base, stmt, 0);
        return;
    case CODE_FOR: case CODE_WHILE: case CODE_REPEAT:
        loop(w, base, stmt);
        return;
    case CODE_EXIT: case CODE_CONTINUE: case CODE_RETURN: return;
    }
}

static void run(struct walk *w, uint32_t base, const struct code_stmt *stmts,
                uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        run_one(w, base, &stmts[i]);
        w->uncertain = w->uncertain || stmts[i].leaves != 0;
    }
}

/* ---- the whole ---- */

/* Without wiring an actuator is what it is told. */
static void actuators(struct walk *w)
{
    for (uint32_t i = 0; i < w->model->n_actuators; i++) {
        const struct actuator *actuator = &w->model->actuators[i];

        if (actuator->wired)
            continue;
        w->now[actuator->slot] = commanded(w, i);
        if (actuator->command != MODEL_NONE)
            w->slots[actuator->slot] = w->slots[actuator->command];
    }
}

static void scan(struct walk *w, bool counting)
{
    const struct model *model = w->model;

    w->counting = counting;
    w->uncertain = false;
    w->early = true;
    run(w, 0, model->wiring_in.stmts, model->wiring_in.n_stmts);
    w->early = false;
    for (uint32_t p = 0; p < model->n_programs; p++) {
        const struct program *program = &model->programs[p];

        w->uncertain = false;
        fresh(w, program->pou, program->frame);
        run(w, program->frame, program->pou->body, program->pou->n_body);
    }
    w->uncertain = false;
    run(w, 0, model->wiring_out.stmts, model->wiring_out.n_stmts);
}

const struct written_slot *written_find(struct arena *arena,
                                        const struct model *model)
{
    uint32_t n = model->n_slots + 1;
    struct walk w = {
        .arena = arena, .model = model,
        .now = arena_array(arena, n, sizeof *w.now),
        .done = arena_array(arena, n, sizeof *w.done),
        .total = arena_array(arena, n, sizeof *w.total),
        .seen = arena_array(arena, n, sizeof *w.seen),
        .slots = arena_array(arena, n, sizeof *w.slots)};

    scan(&w, true);
    scan(&w, false);
    actuators(&w);
    for (uint32_t s = 0; s < model->n_slots; s++)
        if (w.now[s] != NULL && w.now[s]->op != WRITTEN_UNKNOWN &&
            model->slots[s].home != SLOT_FUNCTION && !model->slots[s].temp)
            w.slots[s].expr = w.now[s];
    vec_release(&w.log);
    return w.slots;
}
