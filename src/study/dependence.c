#include "study/dependence.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"

/* Statements looked at, blocks in each of their calls; and depth. */
enum { MOST_STEPS = 2000000, MOST_DEPTH = 200 };

typedef VEC(uint32_t) node_list;

struct walk {
    struct arena *arena;
    struct dependence *d;
    const struct model *model;
    VEC(struct dependence_arrow) arrows;
    node_list guards;     /* what the conditions around here read */
    const uint32_t *alias; /* VAR_IN_OUT of the running POU: slots */
    uint32_t frame, depth, steps;
    uint32_t block;       /* outermost instance around here, MODEL_NONE */
    uint32_t *array, *standard, *outer;
    const struct code_pou **standard_pou, **outer_pou;
    struct span *place;
};

static void walk_body(struct walk *walk, const struct code_stmt *stmts,
                      uint32_t n);
static void reads(struct walk *walk, const struct code_expr *expr,
                  node_list *into);

uint32_t dependence_control(const struct model *model, uint32_t control)
{
    return model->n_slots + control;
}

uint32_t dependence_contact(const struct model *model, uint32_t contact)
{
    return model->n_slots + model->n_controls + contact;
}

uint32_t dependence_sensor(const struct model *model, uint32_t sensor)
{
    return model->n_slots + model->n_controls + model->n_contacts + sensor;
}

/* Too much to be followed?  Every statement and call counts. */
static bool is_enough(struct walk *walk)
{
    walk->d->cut |= walk->steps >= MOST_STEPS || walk->depth >= MOST_DEPTH;
    walk->steps++;
    return walk->d->cut;
}

static void arrow(struct walk *walk, uint32_t from, uint32_t to)
{
    if (from < walk->model->n_slots)
        from = walk->array[from];
    if (to < walk->model->n_slots)
        to = walk->array[to];
    vec_push(&walk->arrows, ((struct dependence_arrow){from, to}));
}

static void arrows(struct walk *walk, const node_list *from, uint32_t to)
{
    for (size_t i = 0; i < from->n; i++)
        arrow(walk, from->at[i], to);
}

/* ---- variables ---- */

static uint32_t slot_of(const struct walk *walk,
                        const struct code_variable *variable)
{
    switch (variable->base) {
    case CODE_LOCAL: return walk->frame + variable->index;
    case CODE_GLOBAL: return variable->index;
    case CODE_IN_OUT: break;
    }
    return walk->alias == NULL ||
                   walk->alias[variable->index] >= walk->model->n_slots
               ? MODEL_NONE
               : walk->alias[variable->index] + variable->offset;
}

/* All slots of a value of this type. */
static void read_slots(const struct walk *walk, uint32_t slot,
                       const struct type *type, node_list *into)
{
    uint32_t n = type != NULL && type->size > 1 ? type->size : 1;

    for (uint32_t i = 0; i < n && slot < walk->model->n_slots - i; i++)
        vec_push(into, slot + i);
}

static void read_steps(struct walk *walk,
                       const struct code_variable *variable, node_list *into)
{
    for (uint32_t i = 0; i < variable->n_steps; i++)
        reads(walk, variable->steps[i].value, into);
}

/* Given a value by what `from` and the conditions around it read. */
static void give(struct walk *walk, const struct code_variable *target,
                 const struct type *type, node_list *from, struct span span)
{
    node_list to = {0};

    read_steps(walk, target, from);
    read_slots(walk, slot_of(walk, target), type, &to);
    for (size_t i = 0; i < to.n; i++) {
        uint32_t node = walk->array[to.at[i]];

        arrows(walk, from, node);
        arrows(walk, &walk->guards, node);
        if (walk->place[node].file == 0)
            walk->place[node] = span;
    }
    vec_release(&to);
}

/* ---- calls ---- */

/* A call, inputs first; then its body; then outputs. */
static void put_inputs(struct walk *walk, const struct code_arg *args,
                       uint32_t n, uint32_t frame, struct span span)
{
    for (uint32_t i = 0; i < n; i++) {
        node_list from = {0}, to = {0};

        if (args[i].kind != ARG_INPUT)
            continue;
        reads(walk, args[i].value, &from);
        read_slots(walk, frame + args[i].parameter, args[i].value->type, &to);
        for (size_t k = 0; k < to.n; k++) {
            arrows(walk, &from, to.at[k]);
            arrows(walk, &walk->guards, to.at[k]);
            if (walk->place[to.at[k]].file == 0)
                walk->place[to.at[k]] = span;
        }
        vec_release(&from);
        vec_release(&to);
    }
}

static void fetch_outputs(struct walk *walk, const struct code_arg *args,
                          uint32_t n, uint32_t frame, struct span span)
{
    for (uint32_t i = 0; i < n; i++) {
        node_list from = {0};

        if (args[i].kind == ARG_OUTPUT) {
            read_slots(walk, frame + args[i].parameter, args[i].target_type,
                       &from);
            give(walk, &args[i].target, args[i].target_type, &from, span);
        }
        vec_release(&from);
    }
}

static const uint32_t *aliases(struct walk *walk, const struct code_pou *pou,
                               const struct code_arg *args, uint32_t n)
{
    uint32_t *alias = arena_array(walk->arena, (size_t)pou->n_in_out + 1,
                                  sizeof *alias);

    for (uint32_t i = 0; i < pou->n_in_out; i++)
        alias[i] = MODEL_NONE;
    for (uint32_t i = 0; i < n; i++)
        if (args[i].kind == ARG_IN_OUT)
            alias[args[i].parameter] = slot_of(walk, &args[i].target);
    return alias;
}

/* A body within its own frame; conditions around the call stay. */
static void enter(struct walk *walk, const struct code_pou *pou,
                  uint32_t frame, const uint32_t *alias)
{
    const uint32_t *outer_alias = walk->alias;
    uint32_t outer = walk->frame;
    size_t guards = walk->guards.n;

    if (is_enough(walk))
        return;
    walk->depth++;
    walk->frame = frame;
    walk->alias = alias;
    walk_body(walk, pou->body, pou->n_body);
    walk->guards.n = guards;
    walk->alias = outer_alias;
    walk->frame = outer;
    walk->depth--;
}

/* A standard block is one with its variables. */
static void tie(struct walk *walk, const struct code_pou *pou, uint32_t frame)
{
    for (uint32_t i = 1; i < pou->size; i++) {
        arrow(walk, frame + i, frame);
        arrow(walk, frame, frame + i);
    }
}

static void own(uint32_t *of, const struct code_pou **by, uint32_t frame,
                const struct code_pou *pou)
{
    for (uint32_t i = 0; i < pou->size; i++) {
        of[frame + i] = frame;
        by[frame + i] = pou;
    }
}

/* What a function gives follows from what its own call hands to it, so that
 * calls are not mixed up; its text is read for the globals that it uses. */
static void call(struct walk *walk, const struct code_expr *expr,
                 node_list *into)
{
    const struct code_pou *pou = expr->pou;
    uint32_t outer = walk->block;
    node_list from = {0};

    if (outer == MODEL_NONE) {
        own(walk->outer, walk->outer_pou, pou->frame, pou);
        walk->block = pou->frame;
    }
    enter(walk, pou, pou->frame,
          aliases(walk, pou, expr->args, expr->n_args));
    walk->block = outer;
    for (uint32_t i = 0; i < pou->size; i++)
        vec_push(&from, pou->frame + i);
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (expr->args[i].kind == ARG_INPUT)
            reads(walk, expr->args[i].value, &from);
        else
            read_slots(walk, slot_of(walk, &expr->args[i].target),
                       expr->args[i].target_type, &from);
    for (size_t i = 0; i < from.n; i++)
        vec_push(into, from.at[i]);
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (expr->args[i].kind != ARG_INPUT) {
            give(walk, &expr->args[i].target, expr->args[i].target_type,
                 &from, expr->span);
        }
    vec_release(&from);
}

static void invoke(struct walk *walk, const struct code_stmt *stmt)
{
    const struct code_pou *pou = stmt->pou;
    uint32_t frame = slot_of(walk, &stmt->instance), outer = walk->block;

    if (frame >= walk->model->n_slots)
        return;
    if (walk->place[frame].file == 0)
        walk->place[frame] = stmt->span;
    if (pou->standard != STANDARD_NONE) {
        own(walk->standard, walk->standard_pou, frame, pou);
        tie(walk, pou, frame);
        arrows(walk, &walk->guards, frame);
    } else if (outer == MODEL_NONE && pou->kind == POU_BLOCK) {
        own(walk->outer, walk->outer_pou, frame, pou);
        walk->block = frame;
    }
    put_inputs(walk, stmt->args, stmt->n_args, frame, stmt->span);
    if (pou->standard == STANDARD_NONE)
        enter(walk, pou, frame, aliases(walk, pou, stmt->args, stmt->n_args));
    walk->block = outer;
    fetch_outputs(walk, stmt->args, stmt->n_args, frame, stmt->span);
}

/* ---- expressions ---- */

static void read_leaf(struct walk *walk, const struct code_expr *expr,
                      node_list *into)
{
    const struct model *model = walk->model;

    switch (expr->op) {
    case CODE_VARIABLE: case CODE_DISPLACED:
        read_slots(walk, slot_of(walk, &expr->variable), expr->type, into);
        read_steps(walk, &expr->variable, into);
        break;
    case CODE_HAND:
        vec_push(into, dependence_control(model, expr->index));
        break;
    case CODE_CONTACT: case CODE_CONDUCTS:
        vec_push(into, dependence_contact(model, expr->index));
        break;
    case CODE_SENSOR: case CODE_SENSED:
        vec_push(into, dependence_sensor(model, expr->index));
        break;
    case CODE_READ:
        read_slots(walk, expr->index, expr->type, into);
        break;
    case CODE_COMMANDED:
        read_slots(walk, model->actuators[expr->index].command, expr->type,
                   into);
        break;
    default: break;
    }
}

static void reads(struct walk *walk, const struct code_expr *expr,
                  node_list *into)
{
    if (expr == NULL || is_enough(walk))
        return;
    walk->depth++;
    read_leaf(walk, expr, into);
    reads(walk, expr->left, into);
    reads(walk, expr->right, into);
    if (expr->op == CODE_CALL)
        call(walk, expr, into);
    else
        for (uint32_t i = 0; i < expr->n_args; i++)
            reads(walk, expr->args[i].value, into);
    walk->depth--;
}

/* ---- statements ---- */

/* Behind a statement that can lead away, what decides that decides whether
 * the rest runs. */
static void guard_by(struct walk *walk, const struct code_stmt *stmt)
{
    node_list from = {0};

    if (stmt->leaves == 0 || is_enough(walk))
        return;
    walk->depth++;
    reads(walk, stmt->value, &from);
    for (size_t i = 0; i < from.n; i++)
        vec_push(&walk->guards, from.at[i]);
    for (uint32_t b = 0; b < stmt->n_branches; b++) {
        from.n = 0;
        reads(walk, stmt->branches[b].condition, &from);
        for (size_t i = 0; i < from.n; i++)
            vec_push(&walk->guards, from.at[i]);
        for (uint32_t i = 0; i < stmt->branches[b].n_body; i++)
            guard_by(walk, &stmt->branches[b].body[i]);
    }
    vec_release(&from);
    walk->depth--;
}

static void assign(struct walk *walk, const struct code_stmt *stmt)
{
    node_list from = {0};

    reads(walk, stmt->value, &from);
    if (stmt->loop != NULL) {
        reads(walk, stmt->loop->to, &from);
        reads(walk, stmt->loop->by, &from);
    }
    give(walk, &stmt->target, stmt->target_type, &from, stmt->span);
    vec_release(&from);
}

static void put_guards(struct walk *walk, const struct code_expr *expr)
{
    node_list from = {0};

    reads(walk, expr, &from);
    for (size_t i = 0; i < from.n; i++)
        vec_push(&walk->guards, from.at[i]);
    vec_release(&from);
}

/* IF, CASE, MAY and loops: a branch runs as its condition, and those before
 * it, come out. */
static void branches(struct walk *walk, const struct code_stmt *stmt)
{
    size_t guards = walk->guards.n;

    put_guards(walk, stmt->value);
    if (stmt->loop != NULL) {
        put_guards(walk, stmt->loop->to);
        put_guards(walk, stmt->loop->by);
        guard_by(walk, stmt);
        for (uint32_t i = 0; i < stmt->n_branches; i++)
            for (uint32_t k = 0; k < stmt->branches[i].n_body; k++)
                guard_by(walk, &stmt->branches[i].body[k]);
    }
    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        size_t open;

        put_guards(walk, stmt->branches[i].condition);
        open = walk->guards.n;
        walk_body(walk, stmt->branches[i].body, stmt->branches[i].n_body);
        walk->guards.n = open;
    }
    walk->guards.n = guards;
}

static void walk_body(struct walk *walk, const struct code_stmt *stmts,
                      uint32_t n)
{
    for (uint32_t i = 0; i < n && !is_enough(walk); i++) {
        const struct code_stmt *stmt = &stmts[i];

        walk->depth++;
        if (stmt->kind == CODE_ASSIGN || stmt->kind == CODE_FOR)
            assign(walk, stmt);
        if (stmt->kind == CODE_INVOKE)
            invoke(walk, stmt);
        if (stmt->n_branches > 0)
            branches(walk, stmt);
        walk->depth--;
        guard_by(walk, stmt);
    }
}

/* ---- the whole ---- */

static void walk_text(struct walk *walk, const struct body *body)
{
    walk->frame = 0;
    walk->block = MODEL_NONE;
    walk_body(walk, body->stmts, body->n_stmts);
    walk->guards.n = 0;
}

static void walk_programs(struct walk *walk)
{
    const struct model *model = walk->model;

    for (uint32_t i = 0; i < model->n_programs; i++) {
        walk->block = MODEL_NONE;
        enter(walk, model->programs[i].pou, model->programs[i].frame, NULL);
        walk->guards.n = 0;
    }
}

static void walk_machine(struct walk *walk)
{
    const struct model *model = walk->model;

    walk->frame = 0;
    for (uint32_t i = 0; i < model->n_movements; i++) {
        node_list from = {0};

        reads(walk, model->movements[i].condition, &from);
        arrows(walk, &from, model->movements[i].slot);
        vec_release(&from);
    }
    for (uint32_t i = 0; i < model->n_mechanisms; i++)
        walk_text(walk, &model->mechanisms[i]);
    for (uint32_t i = 0; i < model->n_sensors; i++) {
        node_list from = {0};

        reads(walk, model->sensors[i].on_when, &from);
        arrows(walk, &from, dependence_sensor(model, i));
        vec_release(&from);
    }
}

/* What leads into the programs and out of them without any text. */
static void walk_signals(struct walk *walk)
{
    const struct model *model = walk->model;

    for (uint32_t i = 0; i < model->n_contacts; i++)
        arrow(walk, dependence_control(model, model->contacts[i].control),
              dependence_contact(model, i));
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];

        if (slot->driver == DRIVER_CONTACT)
            arrow(walk, dependence_contact(model, slot->driver_index), i);
        if (slot->driver == DRIVER_SENSOR)
            arrow(walk, dependence_sensor(model, slot->driver_index), i);
    }
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (!model->actuators[i].wired &&
            model->actuators[i].command != MODEL_NONE)
            arrow(walk, model->actuators[i].command,
                  model->actuators[i].slot);
}

/* "a[1]" and "a[2]" stand side by side and are one. */
static void find_arrays(struct walk *walk)
{
    const struct model *model = walk->model;
    size_t last = 0;

    for (uint32_t i = 0; i < model->n_slots; i++) {
        const char *path = model->slots[i].path;
        size_t n = strcspn(path, "[");
        bool same = i > 0 && path[n] == '[' && n == last &&
                    strncmp(path, model->slots[i - 1].path, n) == 0;

        walk->array[i] = same ? walk->array[i - 1] : i;
        walk->standard[i] = walk->outer[i] = MODEL_NONE;
        last = path[n] == '[' ? n : 0;
    }
}

static int by_from(const void *left, const void *right)
{
    const struct dependence_arrow *a = left, *b = right;

    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    return a->to < b->to ? -1 : a->to > b->to;
}

static void keep(struct walk *walk)
{
    struct dependence *d = walk->d;
    size_t n = d->cut ? 0 : walk->arrows.n;
    struct dependence_arrow *kept =
        arena_array(walk->arena, n + 1, sizeof *kept);
    uint32_t *first = arena_array(walk->arena, (size_t)d->n_nodes + 2,
                                  sizeof *first);
    uint32_t at = 0;

    if (n > 1)
        qsort(walk->arrows.at, n, sizeof *kept, by_from);
    for (size_t i = 0; i < n; i++)
        if (i == 0 || by_from(&walk->arrows.at[i - 1],
                              &walk->arrows.at[i]) != 0)
            kept[d->n_arrows++] = walk->arrows.at[i];
    for (uint32_t node = 0; node <= d->n_nodes; node++) {
        while (at < d->n_arrows && kept[at].from < node)
            at++;
        first[node] = at;
    }
    d->arrows = kept;
    d->first = first;
}

const struct dependence *dependence_of(struct arena *arena,
                                       const struct model *model)
{
    struct dependence *d = ARENA_NEW(arena, struct dependence);
    size_t n = (size_t)model->n_slots + 1;
    struct walk walk = {.arena = arena, .d = d, .model = model};

    d->model = model;
    d->n_nodes = model->n_slots + model->n_controls + model->n_contacts +
                 model->n_sensors;
    d->array = walk.array = arena_array(arena, n, sizeof *walk.array);
    d->standard = walk.standard = arena_array(arena, n, sizeof(uint32_t));
    d->block = walk.outer = arena_array(arena, n, sizeof(uint32_t));
    d->standard_pou = walk.standard_pou =
        arena_array(arena, n, sizeof *walk.standard_pou);
    d->block_pou = walk.outer_pou =
        arena_array(arena, n, sizeof *walk.outer_pou);
    d->place = walk.place = arena_array(arena, n, sizeof *walk.place);
    find_arrays(&walk);
    walk_signals(&walk);
    walk_text(&walk, &model->wiring_in);
    walk_programs(&walk);
    walk_text(&walk, &model->wiring_out);
    walk_machine(&walk);
    keep(&walk);
    vec_release(&walk.arrows);
    vec_release(&walk.guards);
    return d;
}
