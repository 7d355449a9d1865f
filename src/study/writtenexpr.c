#include "study/writtenexpr.h"

#include "base/arena.h"

/* Elements among which an index chooses in words. */
enum { MOST_ELEMENTS = 16 };

static const struct written *pair(struct written_walk *w, enum written_op op,
                                  const struct written *a,
                                  const struct written *b)
{
    return written_pair(w->arena, op, a, b, w->truth);
}

static const struct written *number(struct written_walk *w, int64_t value)
{
    return written_const(w->arena, value, NULL);
}

/* ---- places ---- */

static uint32_t first_slot(struct written_walk *w, uint32_t base,
                           const struct code_variable *variable)
{
    switch (variable->base) {
    case CODE_LOCAL: return base + variable->index + variable->offset;
    case CODE_GLOBAL: return variable->index + variable->offset;
    default: break;
    }
    if (w->alias == NULL || w->alias[variable->index] == MODEL_NONE)
        return MODEL_NONE;
    return w->alias[variable->index] + variable->offset;
}

struct written_place writtenexpr_place(struct written_walk *w, uint32_t base,
                                       const struct code_variable *variable,
                                       uint32_t size)
{
    struct written_place place = {
        .known = true, .slot = first_slot(w, base, variable),
        .reach = code_reach(variable, size)};
    uint32_t slot = place.slot;

    for (uint32_t i = 0; i < variable->n_steps; i++) {
        const struct code_index *step = &variable->steps[i];
        const struct written *at = writtenexpr_value(w, base, step->value);
        bool known = at->op == WRITTEN_CONST && at->value >= step->low &&
                     at->value <= step->high;

        place.from = written_reckoned(w->arena, place.from, at, NULL);
        place.known = place.known && known;
        if (known)
            slot += (uint32_t)(at->value - step->low) * step->stride;
    }
    if (place.slot == MODEL_NONE)
        place.known = false;
    else if (place.known)
        place.slot = slot;
    return place;
}

/* The element that one index chooses: e1 where it is the first, else ... */
static const struct written *element(struct written_walk *w, uint32_t base,
                                     const struct code_variable *variable)
{
    const struct code_index *step = variable->steps;
    const struct written *at, *chosen;
    uint32_t slot = first_slot(w, base, variable);

    if (variable->n_steps != 1 || slot == MODEL_NONE ||
        step->high - step->low >= MOST_ELEMENTS)
        return NULL;
    at = writtenexpr_value(w, base, step->value);
    chosen = written_now(w, slot + (uint32_t)(step->high - step->low) *
                                       step->stride);
    for (int64_t i = step->high - 1; i >= step->low; i--)
        chosen = written_if(
            w->arena, pair(w, WRITTEN_EQ, at, number(w, i)),
            written_now(w, slot + (uint32_t)(i - step->low) * step->stride),
            chosen);
    return chosen;
}

static const struct written *variable_now(struct written_walk *w,
                                          uint32_t base,
                                          const struct code_variable *variable)
{
    struct written_place place = writtenexpr_place(w, base, variable, 1);
    const struct written *chosen;

    if (place.known)
        return written_now(w, place.slot);
    chosen = element(w, base, variable);
    return chosen != NULL ? chosen
                          : written_reckoned(w->arena, place.from, NULL, NULL);
}

static const struct written *variable(struct written_walk *w, uint32_t base,
                                      const struct code_expr *expr)
{
    struct written_place place;

    if (expr->when == CODE_NOW)
        return variable_now(w, base, &expr->variable);
    place = writtenexpr_place(w, base, &expr->variable, 1);
    if (!place.known)
        return written_reckoned(w->arena, place.from, NULL, NULL);
    return written_leaf(w->arena, WRITTEN_BEFORE, place.slot,
                        w->model->slots[place.slot].type);
}

/* ---- storing ---- */

/* Any of its elements may get it: each where the index says so. */
static void store_at_index(struct written_walk *w, uint32_t base,
                           const struct code_variable *target,
                           const struct written *value, struct span span)
{
    const struct code_index *step = target->steps;
    const struct written *at = writtenexpr_value(w, base, step->value);
    uint32_t slot = first_slot(w, base, target);

    for (int64_t i = step->low; i <= step->high; i++, slot += step->stride)
        written_assign(w, slot,
                       written_if(w->arena,
                                  pair(w, WRITTEN_EQ, at, number(w, i)),
                                  value, written_reached(w, slot)), &span);
}

/* Nobody knows which of these slots gets something. */
static void blur(struct written_walk *w, const struct written_place *place,
                 const struct written *value, struct span span)
{
    if (place->slot == MODEL_NONE)
        return; /* blurred where it was lent */
    for (uint32_t i = 0; i < place->reach; i++)
        if (place->slot + i < w->model->n_slots)
            written_assign(w, place->slot + i,
                           written_reckoned(
                               w->arena, place->from, value,
                               written_reached(w, place->slot + i)), &span);
}

void writtenexpr_store(struct written_walk *w, uint32_t base,
                       const struct written_to *to,
                       const struct written *const *value, uint32_t n)
{
    const struct code_variable *target = to->target;
    struct span span = to->span;
    struct written_place place = writtenexpr_place(w, base, target, n);

    if (place.known)
        for (uint32_t i = 0; i < n; i++)
            written_assign(w, place.slot + i, value[i], &span);
    else if (n == 1 && target->n_steps == 1 && place.slot != MODEL_NONE &&
             target->steps->high - target->steps->low < MOST_ELEMENTS)
        store_at_index(w, base, target, value[0], span);
    else
        blur(w, &place, value[0], span);
}

/* ---- leaves ---- */

const struct written *writtenexpr_command(struct written_walk *w,
                                          uint32_t actuator)
{
    uint32_t slot = w->model->actuators[actuator].command;

    if (slot == MODEL_NONE)
        return written_const(w->arena, 0, w->model->actuators[actuator].type);
    return w->now[slot] != NULL ? w->now[slot] : written_now(w, slot);
}

static const struct written *eval_leaf(struct written_walk *w, uint32_t base,
                                       const struct code_expr *expr)
{
    const struct model *model = w->model;

    switch (expr->op) {
    case CODE_CONST:
        return written_const(w->arena, expr->value, expr->type);
    case CODE_VARIABLE: return variable(w, base, expr);
    case CODE_READ: return written_now(w, expr->index);
    case CODE_COMMANDED: return writtenexpr_command(w, expr->index);
    case CODE_HAND:
        return written_leaf(w->arena, WRITTEN_HAND, expr->index,
                            model->controls[expr->index].type);
    case CODE_CONTACT: case CODE_CONDUCTS:
        return written_leaf(w->arena, WRITTEN_CONTACT, expr->index,
                            model->contacts[expr->index].type);
    case CODE_SENSOR: case CODE_SENSED:
        return written_leaf(w->arena, WRITTEN_SENSOR, expr->index,
                            expr->type);
    default: return written_reckoned(w->arena, NULL, NULL, NULL);
    }
}

/* ---- operators ---- */

/* REALs stand for cells of numbers, an LWORD may look negative: neither is
 * compared here. */
static bool is_apart(const struct code_expr *expr)
{
    const struct type *type = expr->type ? type_base(expr->type) : NULL;

    return type != NULL && (type->kind == TYPE_REAL ||
                            (type->kind == TYPE_BITS && type->low < 0));
}

/* A sum that may turn round in its type says nothing beyond it. */
static const struct written *within(struct written_walk *w,
                                    const struct written *a,
                                    const struct type *type)
{
    if (a->op == WRITTEN_CONST && a->value >= type->low &&
        a->value <= type->high)
        return a;
    return written_made(w->arena, (struct written){
        .op = WRITTEN_WITHIN, .a = a, .type = type});
}

static const struct written *reckon(struct written_walk *w,
                                    const struct code_expr *expr,
                                    const struct written *a,
                                    const struct written *b)
{
    static const enum written_op ops[] = {
        [CODE_ADD] = WRITTEN_ADD, [CODE_SUB] = WRITTEN_SUB,
        [CODE_MUL] = WRITTEN_MUL, [CODE_DIV] = WRITTEN_DIV,
        [CODE_MOD] = WRITTEN_MOD};
    const struct written *made =
        written_pair(w->arena, ops[expr->op], a, b, expr->type);

    return expr->turns ? within(w, made, expr->type) : made;
}

/* x = TRUE is x. */
static const struct written *equal(struct written_walk *w,
                                   const struct written *a,
                                   const struct written *b)
{
    const struct written *known = a->op == WRITTEN_CONST ? a : b;
    const struct written *other = known == a ? b : a;

    if (known->op != WRITTEN_CONST || known->type == NULL ||
        known->type->kind != TYPE_BOOL)
        return pair(w, WRITTEN_EQ, a, b);
    return known->value != 0 ? other : written_not(w->arena, other);
}

static const struct written *eval_pair(struct written_walk *w, uint32_t base,
                                       const struct code_expr *expr)
{
    const struct written *a = writtenexpr_value(w, base, expr->left);
    const struct written *b = writtenexpr_value(w, base, expr->right);

    if (is_apart(expr->left) || expr->place != CODE_NO_SITE)
        return written_reckoned(w->arena, a, b, NULL);
    switch (expr->op) {
    case CODE_AND: case CODE_AND_THEN: return pair(w, WRITTEN_AND, a, b);
    case CODE_OR: case CODE_OR_ELSE: return pair(w, WRITTEN_OR, a, b);
    case CODE_XOR: return pair(w, WRITTEN_XOR, a, b);
    case CODE_EQ: return equal(w, a, b);
    case CODE_NE: return written_not(w->arena, equal(w, a, b));
    case CODE_LT: return pair(w, WRITTEN_LT, a, b);
    case CODE_LE: return pair(w, WRITTEN_LE, a, b);
    case CODE_GT: return pair(w, WRITTEN_LT, b, a);
    case CODE_GE: return pair(w, WRITTEN_LE, b, a);
    default: return reckon(w, expr, a, b);
    }
}

static const struct written *convert(struct written_walk *w, uint32_t base,
                                     const struct code_expr *expr)
{
    const struct written *a = writtenexpr_value(w, base, expr->left);
    enum type_kind from = type_base(expr->left->type)->kind;
    enum type_kind to = type_base(expr->type)->kind;

    if (from > TYPE_ENUM || to > TYPE_ENUM || to == TYPE_ENUM ||
        from == TYPE_ENUM || (from == TYPE_BITS && to == TYPE_INTEGER))
        return written_reckoned(w->arena, a, NULL, NULL);
    if (to == TYPE_BOOL && from != TYPE_BOOL) /* 0 and 1, else an error */
        return written_not(w->arena, pair(w, WRITTEN_EQ, a, number(w, 0)));
    return within(w, a, expr->type);
}

/* ---- calls ---- */

uint32_t writtenexpr_width(const struct code_arg *arg)
{
    return arg->target_type != NULL ? arg->target_type->size : 1;
}

const uint32_t *writtenexpr_lend(struct written_walk *w, uint32_t base,
                                 const struct written_call *call)
{
    uint32_t n = call->pou->n_in_out;
    uint32_t *alias = arena_array(w->arena, (size_t)n + 1, sizeof *alias);

    for (uint32_t i = 0; i < n; i++)
        alias[i] = MODEL_NONE;
    for (uint32_t i = 0; i < call->n; i++) {
        const struct code_arg *arg = &call->args[i];
        struct written_place place;

        if (arg->kind != ARG_IN_OUT)
            continue;
        place = writtenexpr_place(w, base, &arg->target, 1);
        if (place.known)
            alias[arg->parameter] = place.slot;
    }
    return alias;
}

const struct written *const *const *writtenexpr_inputs(
    struct written_walk *w, uint32_t base, const struct written_call *call)
{
    const struct written *const **given =
        arena_array(w->arena, (size_t)call->n + 1, sizeof *given);

    for (uint32_t i = 0; i < call->n; i++) {
        uint32_t n = writtenexpr_width(&call->args[i]);
        const struct written **value;

        if (call->args[i].kind != ARG_INPUT)
            continue;
        value = arena_array(w->arena, (size_t)n + 1, sizeof *value);
        writtenexpr_values(w, base, call->args[i].value, value, n);
        given[i] = value;
    }
    return given;
}

/* slot: of the parameter. */
static void give_one(struct written_walk *w, uint32_t base,
                     const struct written_to *to, uint32_t slot, uint32_t n)
{
    const struct written **value =
        arena_array(w->arena, (size_t)n + 1, sizeof *value);

    for (uint32_t i = 0; i < n; i++)
        value[i] = written_now(w, slot + i);
    writtenexpr_store(w, base, to, value, n);
}

void writtenexpr_give_back(struct written_walk *w, uint32_t base,
                           const struct written_call *call, uint32_t inner)
{
    for (uint32_t i = 0; i < call->n; i++) {
        const struct code_arg *arg = &call->args[i];
        struct written_place place;

        if (arg->kind == ARG_OUTPUT)
            give_one(w, base,
                     &(struct written_to){&arg->target, call->span},
                     inner + arg->parameter, writtenexpr_width(arg));
        if (arg->kind != ARG_IN_OUT)
            continue;
        place = writtenexpr_place(w, base, &arg->target,
                                  writtenexpr_width(arg));
        if (!place.known)
            blur(w, &place, NULL, call->span);
    }
}

/* A function is written out where it is called. */
static void call(struct written_walk *w, uint32_t base,
                 const struct code_expr *expr)
{
    const struct code_pou *pou = expr->pou;
    const struct written_call made = {pou, expr->args, expr->n_args,
                                      expr->span};
    const uint32_t *alias = w->alias;
    const uint32_t *lent = writtenexpr_lend(w, base, &made);
    const struct written *const *const *given =
        writtenexpr_inputs(w, base, &made);

    for (uint32_t i = 0; i < pou->n_vars; i++)
        for (uint32_t k = 0; k < code_var_size(&pou->vars[i]); k++)
            written_set(w, pou->frame + pou->vars[i].offset + k,
                        written_const(w->arena,
                                      pou->vars[i].initials != NULL
                                          ? pou->vars[i].initials[k]
                                          : pou->vars[i].initial,
                                      pou->vars[i].type));
    for (uint32_t i = 0; i < expr->n_args; i++)
        for (uint32_t k = 0; given[i] != NULL &&
                             k < writtenexpr_width(&expr->args[i]); k++)
            written_set(w, pou->frame + expr->args[i].parameter + k,
                        given[i][k]);
    w->alias = lent;
    w->run(w, pou->frame, pou->body, pou->n_body);
    w->alias = alias;
    writtenexpr_give_back(w, base, &made, pou->frame);
}

void writtenexpr_values(struct written_walk *w, uint32_t base,
                        const struct code_expr *expr,
                        const struct written **value, uint32_t n)
{
    struct written_place place;

    if (n == 1) {
        value[0] = writtenexpr_value(w, base, expr);
        return;
    }
    if (expr->op == CODE_CALL) {
        call(w, base, expr);
        for (uint32_t i = 0; i < n; i++)
            value[i] = written_now(w, expr->pou->frame +
                                          expr->pou->result + i);
        return;
    }
    place = writtenexpr_place(w, base, &expr->variable, n);
    for (uint32_t i = 0; i < n; i++)
        value[i] = place.known ? written_now(w, place.slot + i)
                               : written_reckoned(w->arena, place.from, NULL,
                                                  NULL);
}

/* ---- standard functions ---- */

static const struct written *lesser(struct written_walk *w,
                                    const struct written *a,
                                    const struct written *b, bool greater)
{
    return written_if(w->arena, pair(w, WRITTEN_LE, a, b), greater ? b : a,
                      greater ? a : b);
}

static const struct written *in_order(struct written_walk *w,
                                      enum code_function function,
                                      const struct written *a,
                                      const struct written *b)
{
    switch (function) {
    case FUNCTION_GT: return pair(w, WRITTEN_LT, b, a);
    case FUNCTION_GE: return pair(w, WRITTEN_LE, b, a);
    case FUNCTION_EQ: return pair(w, WRITTEN_EQ, a, b);
    case FUNCTION_LE: return pair(w, WRITTEN_LE, a, b);
    default: return pair(w, WRITTEN_LT, a, b);
    }
}

static const struct written *among(struct written_walk *w,
                                   enum code_function function,
                                   const struct written *const *of,
                                   uint32_t n)
{
    const struct written *made = of[0];

    switch (function) {
    case FUNCTION_SEL: return written_if(w->arena, of[0], of[2], of[1]);
    case FUNCTION_LIMIT:
        return lesser(w, lesser(w, of[1], of[0], true), of[2], false);
    case FUNCTION_MUX:
        made = of[n - 1];
        for (uint32_t i = n - 1; i-- > 1;)
            made = written_if(w->arena, pair(w, WRITTEN_EQ, of[0],
                                             number(w, (int64_t)i - 1)),
                              of[i], made);
        return made;
    case FUNCTION_MIN: case FUNCTION_MAX:
        for (uint32_t i = 1; i < n; i++)
            made = lesser(w, made, of[i], function == FUNCTION_MAX);
        return made;
    case FUNCTION_ABS:
        return lesser(w, made, written_pair(w->arena, WRITTEN_SUB,
                                            number(w, 0), made, made->type),
                      true);
    case FUNCTION_GT: case FUNCTION_GE: case FUNCTION_EQ: case FUNCTION_LE:
    case FUNCTION_LT:
        made = in_order(w, function, of[0], of[1]);
        for (uint32_t i = 2; i < n; i++)
            made = pair(w, WRITTEN_AND, made,
                        in_order(w, function, of[i - 1], of[i]));
        return made;
    default: return NULL;
    }
}

static bool any_apart(const struct code_expr *expr)
{
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (is_apart(expr->args[i].value))
            return true;
    return expr->place != CODE_NO_SITE;
}

static const struct written *all_of(struct written_walk *w,
                                    const struct written *const *of,
                                    uint32_t n)
{
    const struct written *all = NULL;

    for (uint32_t i = 0; i < n; i++)
        all = written_reckoned(w->arena, all, of[i], NULL);
    return all;
}

/* Also of what is left open: its arguments are looked at all the same. */
static const struct written *standard(struct written_walk *w, uint32_t base,
                                      const struct code_expr *expr)
{
    const struct written **of =
        arena_array(w->arena, (size_t)expr->n_args + 1, sizeof *of);
    const struct written *made = NULL;

    for (uint32_t i = 0; i < expr->n_args; i++)
        of[i] = writtenexpr_value(w, base, expr->args[i].value);
    if (expr->op == CODE_ANY)
        return written_reckoned(w->arena, all_of(w, of, expr->n_args),
                                written_leaf(w->arena, WRITTEN_OPEN, 0, NULL),
                                NULL);
    if (!any_apart(expr))
        made = among(w, expr->function, of, expr->n_args);
    return made != NULL ? made
                        : written_reckoned(w->arena,
                                           all_of(w, of, expr->n_args), NULL,
                                           NULL);
}

/* ---- the whole ---- */

static const struct written *eval_one(struct written_walk *w, uint32_t base,
                                      const struct code_expr *expr)
{
    const struct written *a = writtenexpr_value(w, base, expr->left);
    bool wide = expr->left->type->high > (INT64_C(1) << 53);

    if (expr->op == CODE_NOT)
        return written_not(w->arena, a);
    if (expr->op == CODE_NEGATE && !is_apart(expr))
        return within(w, written_pair(w->arena, WRITTEN_SUB, number(w, 0), a,
                                      expr->type), expr->type);
    if (expr->op == CODE_BIT && !wide && expr->left->type->low >= 0)
        return written_made(w->arena, (struct written){
            .op = WRITTEN_BIT, .a = a, .value = expr->index,
            .type = w->truth});
    return written_reckoned(w->arena, a, NULL, NULL);
}

const struct written *writtenexpr_value(struct written_walk *w, uint32_t base,
                                        const struct code_expr *expr)
{
    if (expr->when == CODE_PREVIOUS && expr->op != CODE_VARIABLE)
        return written_reckoned(w->arena, NULL, NULL, NULL);
    if (expr->op < CODE_NOT)
        return eval_leaf(w, base, expr);
    switch (expr->op) {
    case CODE_NOT: case CODE_NEGATE: case CODE_BIT: case CODE_BIT_NOT:
    case CODE_ROUND:
        return eval_one(w, base, expr);
    case CODE_CALL:
        call(w, base, expr);
        return written_now(w, expr->pou->frame + expr->pou->result);
    case CODE_STANDARD: case CODE_ANY: return standard(w, base, expr);
    case CODE_CONVERT: return convert(w, base, expr);
    case CODE_WITH_BIT: case CODE_BIT_AND: case CODE_BIT_OR:
    case CODE_BIT_XOR:
        return written_reckoned(w->arena,
                                writtenexpr_value(w, base, expr->left),
                                writtenexpr_value(w, base, expr->right), NULL);
    default: return eval_pair(w, base, expr);
    }
}
