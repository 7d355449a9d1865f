#include "study/needs.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "study/sites.h"

struct gathering {
    const struct model *model;
    struct need_row *at;
    uint32_t n;
    struct need_row *open; /* the one whose sites are being gathered */
    bool more;
};

/* ---- what is wanted ---- */

static void want(struct gathering *g, enum need_kind kind, uint32_t index,
                 int64_t value)
{
    for (uint32_t i = 0; i < g->n; i++)
        if (g->at[i].kind == kind && g->at[i].index == index &&
            g->at[i].value == value)
            return;
    if (g->n == NEEDS_MOST) {
        g->more = true;
        return;
    }
    g->at[g->n++] = (struct need_row){
        .kind = kind, .index = index, .value = value};
}

/* An actuator without wiring does what its command says. */
static uint32_t told_by(const struct model *model, uint32_t slot)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (model->actuators[i].slot == slot && !model->actuators[i].wired &&
            model->actuators[i].command != MODEL_NONE)
            return model->actuators[i].command;
    return slot;
}

static void want_slot(struct gathering *g, uint32_t slot, int64_t value)
{
    const struct slot *row;

    slot = told_by(g->model, slot);
    row = &g->model->slots[slot];
    if (row->driver == DRIVER_SENSOR)
        want(g, NEED_SENSOR, row->driver_index, value);
    else if (row->driver == DRIVER_NONE || row->driver == DRIVER_WIRING)
        want(g, NEED_SLOT, slot, value);
}

static uint32_t slot_of(const struct code_expr *expr, uint32_t base)
{
    return expr->variable.index + (expr->variable.base == CODE_LOCAL ? base
                                                                     : 0);
}

static void want_leaf(struct gathering *g, const struct code_expr *expr,
                      uint32_t base, int64_t value)
{
    const struct model *model = g->model;
    const struct actuator *actuator;

    if (expr->when != CODE_NOW)
        return;
    switch (expr->op) {
    case CODE_VARIABLE:
        if (expr->variable.base != CODE_IN_OUT &&
            expr->variable.n_steps == 0)
            want_slot(g, slot_of(expr, base), value);
        break;
    case CODE_READ: want_slot(g, expr->index, value); break;
    case CODE_COMMANDED:
        actuator = &model->actuators[expr->index];
        if (actuator->command != MODEL_NONE)
            want_slot(g, actuator->command, value);
        break;
    case CODE_SENSOR: case CODE_SENSED:
        want(g, NEED_SENSOR, expr->index, value);
        break;
    default: break; /* hands need nothing; a function is quoted whole */
    }
}

/* What an expression reads, each with the value that helps it to its own. */
static void want_expr(struct gathering *g, const struct code_expr *expr,
                      uint32_t base, int64_t value)
{
    if (expr == NULL)
        return;
    switch (expr->op) {
    case CODE_NOT: want_expr(g, expr->left, base, !value); break;
    case CODE_AND: case CODE_OR: case CODE_AND_THEN: case CODE_OR_ELSE:
        want_expr(g, expr->left, base, value);
        want_expr(g, expr->right, base, value);
        break;
    case CODE_EQ: case CODE_NE:
        if (expr->right->op == CODE_CONST &&
            (expr->op == CODE_EQ) == (value != 0))
            want_leaf(g, expr->left, base, expr->right->value);
        break;
    default: want_leaf(g, expr, base, value); break;
    }
}

/* ---- where it comes from ---- */

static void add_guard(struct need_site *to, const struct site_guard *guard)
{
    if (to->n_guards == NEEDS_GUARDS || guard->condition == NULL)
        return; /* ELSE: the negated ones say it; MAY says nothing */
    to->negated[to->n_guards] = guard->negated;
    to->guards[to->n_guards++] = guard->span;
}

static void want_guard(struct gathering *g, const struct site_guard *guard)
{
    const struct code_expr *selector = guard->condition;

    if (guard->label && selector->op == CODE_VARIABLE &&
        g->model->slots[slot_of(selector, guard->base)].home != SLOT_MACHINE)
        want_leaf(g, selector, guard->base, guard->low);
    else if (guard->label)
        return; /* where the machine stands is no statement's doing */
    else if (guard->condition != NULL && !guard->negated)
        want_expr(g, guard->condition, guard->base, 1);
}

static void add_guards(struct need_site *to, const struct site *site)
{
    to->place = site->place;
    for (const struct site_guard *guard = site->guard; guard != NULL;
         guard = guard->outer)
        add_guard(to, guard);
}

/* Stands under "while it has this value", a step of its sequence? */
static bool is_a_step(const struct gathering *g, const struct site *site)
{
    for (const struct site_guard *guard = site->guard; guard != NULL;
         guard = guard->outer)
        if (guard->label && guard->condition->op == CODE_VARIABLE &&
            slot_of(guard->condition, guard->base) == g->open->index)
            return true;
    return false;
}

/* Another value, given from outside the steps. */
static void note_lost(struct gathering *g, const struct site *site)
{
    struct need_row *need = g->open;

    if (need->kind == NEED_SLOT && need->n_lost < NEEDS_LOST &&
        g->model->slots[need->index].type->kind != TYPE_BOOL &&
        site->guard != NULL && !is_a_step(g, site))
        add_guards(&need->lost[need->n_lost++], site);
}

static void visit(void *context, const struct site *site)
{
    struct gathering *g = context;
    struct need_row *need = g->open;
    struct need_site *to;
    bool constant = site->value != NULL && site->value->op == CODE_CONST;

    if (constant && !site->block && site->value->value != need->value) {
        note_lost(g, site);
        return;
    }
    if (need->n_sites == NEEDS_SITES) {
        need->more = true;
        return;
    }
    to = &need->sites[need->n_sites++];
    if (site->value != NULL && !constant)
        to->value = site->value->span;
    add_guards(to, site);
}

static void visit_wants(void *context, const struct site *site)
{
    struct gathering *g = context;
    bool constant = site->value != NULL && site->value->op == CODE_CONST;

    if (constant && !site->block && site->value->value != g->open->value)
        return;
    if (!constant && site->value != NULL)
        want_expr(g, site->value, site->base, g->open->value);
    for (const struct site_guard *guard = site->guard; guard != NULL;
         guard = guard->outer)
        want_guard(g, guard);
}

static void from_movements(struct gathering *g, struct need_row *need)
{
    for (uint32_t i = 0; i < g->model->n_movements; i++) {
        const struct movement *movement = &g->model->movements[i];

        if (movement->slot != need->index || movement->to != need->value)
            continue;
        if (need->n_sites == NEEDS_SITES) {
            need->more = true;
            return;
        }
        need->sites[need->n_sites++] = (struct need_site){
            .value = movement->condition ? movement->condition->span
                                         : movement->span,
            .place = movement->span,
        };
        want_expr(g, movement->condition, 0, 1);
    }
}

static void expand(struct gathering *g, uint32_t number)
{
    struct need_row *need = &g->at[number];
    struct site_visitor visitor = {g->model, need->index, visit, g};

    g->open = need;
    if (need->kind == NEED_SENSOR) {
        const struct sensor *sensor = &g->model->sensors[need->index];

        need->sites[need->n_sites++] = (struct need_site){
            .value = sensor->on_when->span, .place = sensor->span};
        return; /* where the machine stands is no statement's doing */
    }
    from_movements(g, need);
    sites_visit(&visitor);
    visitor.visit = visit_wants;
    sites_visit(&visitor);
}

static struct gathering begin(struct arena *arena, const struct model *model)
{
    return (struct gathering){
        .model = model,
        .at = arena_array(arena, NEEDS_MOST, sizeof(struct need_row)),
    };
}

static const struct need_list *finish(struct arena *arena,
                                      struct gathering *g)
{
    struct need_list *list = ARENA_NEW(arena, struct need_list);

    for (uint32_t i = 0; i < g->n; i++)
        expand(g, i);
    list->at = g->at;
    list->n = g->n;
    list->more = g->more;
    return list;
}

const struct need_list *needs_of_slot(struct arena *arena,
                                      const struct model *model,
                                      uint32_t slot, int64_t value)
{
    struct gathering g = begin(arena, model);

    want(&g, NEED_SLOT, told_by(model, slot), value);
    return finish(arena, &g);
}

const struct need_list *needs_of(struct arena *arena,
                                 const struct model *model,
                                 uint32_t requirement)
{
    const struct requirement *asked = &model->requirements[requirement];
    struct gathering g = begin(arena, model);

    if (asked->form >= FORM_POSSIBLE)
        want_expr(&g, asked->c != NULL ? asked->c : asked->a, 0, 1);
    else if (asked->form == FORM_ALWAYS)
        want_expr(&g, asked->a, 0, 0);
    else if (asked->form == FORM_AFTER_NO_UNTIL)
        want_expr(&g, asked->b, 0, 1);
    else if (asked->form == FORM_WHEN_THEN_WITHIN)
        want_expr(&g, asked->b, 0, 0);
    else
        want_expr(&g, asked->a, 0, 1);
    if (asked->form == FORM_ONLY_IF)
        want_expr(&g, asked->b, 0, 0);
    return finish(arena, &g);
}
