#include "reference/leans.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "reference/layout.h"
#include "reference/line.h"
#include "reference/targets.h"
#include "reference/tracing.h"

/* A value of a slot within the scan, seen by what is evaluated later. */
struct version {
    leans_set set;
    uint64_t serial;
    bool first; /* as the scan found it */
    const struct version *older;
};

struct leans {
    struct arena *arena;
    struct machine *machine;
    const struct model *model;
    const struct layout *layout;
    const struct targets *targets;
    uint32_t requirement;
    struct leanset_room room;
    leans_set none, all;
    leans_set known;     /* or NULL */
    bool stores_fail;    /* a value that is stored can be outside a range */
    struct version *found; /* per slot: the first version */
    const struct version **slot; /* per slot: the latest */

    /* the scan that was run */
    struct arena *scratch;
    const struct trace *trace;
    const struct trace_scan *scan;
    const int64_t *before; /* the state that it began with */
    int64_t *state;
    bool no_edge;
    uint64_t end;          /* no serial is as large */
    const struct trace_event **event; /* by serial, of slots */
    const struct trace_guard **guard;
    leans_set *taken;      /* by serial: of a guard, all around it too */
    leans_set *move;       /* per slot with movements, else NULL */
    leans_set outcome;
};

/* ---- sets ---- */

uint32_t leans_size(const struct leans *l)
{
    return l->room.size;
}

static leans_set row(const struct leans *l, uint32_t choice)
{
    return leanset_single(&l->room, choice);
}

static leans_set word(const struct leans *l, enum place_kind kind,
                      uint32_t index)
{
    return leanset_single(&l->room, l->model->n_choices +
                                        layout_at(l->layout, kind, index));
}

static leans_set both(struct leans *l, leans_set a, leans_set b)
{
    return leanset_both(&l->room, l->scratch, a, b);
}

void leans_prefer(struct leans *l, leans_set known)
{
    l->known = known;
}

/* ---- slots ---- */

static void give(struct leans *l, uint32_t slot, uint64_t serial,
                 leans_set set)
{
    struct version *version = ARENA_NEW(l->scratch, struct version);

    *version = (struct version){.set = set, .serial = serial,
                                .older = l->slot[slot]};
    l->slot[slot] = version;
}

/* As what was evaluated with that serial saw it. */
static leans_set seen(const struct leans *l, uint32_t slot, uint64_t serial)
{
    const struct version *version = l->slot[slot];

    while (!version->first && version->serial >= serial)
        version = version->older;
    return version->set;
}

static leans_set latest(const struct leans *l, uint32_t slot)
{
    return l->slot[slot]->set;
}

/* ---- lines ---- */

static bool present(const struct leans *l, const struct effect *effect)
{
    return l->before[layout_at(l->layout, PLACE_FAULT, effect->fault)];
}

static leans_set text_of(struct leans *l, const struct code_expr *expr);

static leans_set seen_by(struct leans *l, const struct sensor *sensor)
{
    leans_set set = text_of(l, sensor->on_when);

    return sensor->displaced ? both(l, set, text_of(l, sensor->displaced))
                             : set;
}

/* What it conducts by itself, with all faults of the contact stage. */
static leans_set stage(struct leans *l, uint32_t line)
{
    const struct model *model = l->model;
    uint32_t n = model->n_contacts;
    leans_set set =
        line < n ? row(l, model->controls[model->contacts[line].control]
                              .choice)
                 : seen_by(l, &model->sensors[line - n]);

    for (uint32_t i = 0; i < model->n_effects; i++)
        if (present(l, &model->effects[i]) &&
            line_acted_on(model, &model->effects[i], line))
            set = both(l, set,
                       line < n ? word(l, PLACE_CONTACT_LAST, line)
                                : word(l, PLACE_SENSOR_LAST, line - n));
    return set;
}

static bool any_short(const struct leans *l, uint32_t line)
{
    for (uint32_t i = 0; i < l->model->n_effects; i++)
        if (present(l, &l->model->effects[i]) &&
            line_shorted(l->model, &l->model->effects[i], line))
            return true;
    return false;
}

/* Every line with a short that is present counts as joined with the others. */
static leans_set conducted(struct leans *l, uint32_t line)
{
    uint32_t n = l->model->n_contacts + l->model->n_sensors;
    leans_set set = stage(l, line);

    for (uint32_t i = 0; i < n && any_short(l, line); i++)
        if (any_short(l, i))
            set = both(l, set, stage(l, i));
    return set;
}

/* ---- leaves ---- */

static leans_set hand(const struct leans *l, const struct code_expr *expr,
                      uint32_t control)
{
    if (expr->when == CODE_LAST ||
        (expr->when == CODE_PREVIOUS && !l->no_edge))
        return word(l, PLACE_HAND_LAST, control);
    return row(l, l->model->controls[control].choice);
}

/* Of an assumption: inputs stand as chosen in this scan. */
static leans_set assumed(const struct leans *l, const struct slot *slot)
{
    return slot->driver == DRIVER_CHOICE ? row(l, slot->driver_index)
                                         : l->none;
}

static bool is_assumed(const struct slot *slot)
{
    return slot->driver == DRIVER_CHOICE || slot->driver == DRIVER_FIXED;
}

static leans_set variable(const struct leans *l, const struct code_expr *expr,
                          uint32_t index, uint64_t serial, bool assuming)
{
    const struct slot *slot = &l->model->slots[index];
    bool sampled = expr->op == CODE_READ || slot->input ||
                   slot->driver != DRIVER_NONE;

    if (expr->when != CODE_NOW &&
        !(expr->when == CODE_PREVIOUS && sampled && l->no_edge))
        return word(l, PLACE_SLOT, index);
    if (assuming && is_assumed(slot))
        return assumed(l, slot);
    return seen(l, index, serial);
}

static leans_set commanded(const struct leans *l,
                           const struct code_expr *expr)
{
    uint32_t slot = l->model->actuators[expr->index].command;

    if (expr->when != CODE_NOW)
        return word(l, PLACE_COMMANDED_LAST, expr->index);
    return slot == MODEL_NONE ? l->none : latest(l, slot);
}

static leans_set held_for(struct leans *l, uint32_t clock, leans_set held)
{
    return both(l, held, both(l, word(l, PLACE_CLOCK_WAS, clock),
                              word(l, PLACE_CLOCK_AGE, clock)));
}

/* All leaves but those that have operands in the record. */
static leans_set leaf(struct leans *l, const struct code_expr *expr,
                      uint32_t slot, uint64_t serial, bool assuming)
{
    const struct model *model = l->model;

    switch (expr->op) {
    case CODE_VARIABLE:
    case CODE_DISPLACED:
    case CODE_READ:
        return variable(l, expr, slot, serial, assuming);
    case CODE_HAND:
        return hand(l, expr, expr->index);
    case CODE_CONTACT:
        return hand(l, expr, model->contacts[expr->index].control);
    case CODE_CONDUCTS:
        return conducted(l, expr->index);
    case CODE_SENSED:
        return conducted(l, model->n_contacts + expr->index);
    case CODE_COMMANDED:
        return commanded(l, expr);
    default: /* constants, faults and power, which are kept */
        return l->none;
    }
}

/* ---- expressions ---- */

/* A text of the review that stands outside all statements, as it stands at
 * the end: whatever its sides are. */
static leans_set text_of(struct leans *l, const struct code_expr *expr)
{
    const struct sensor *sensor;
    leans_set set;

    if (!expr)
        return l->none;
    switch (expr->op) {
    case CODE_SENSOR:
        sensor = &l->model->sensors[expr->index];
        return text_of(l, expr->when == CODE_NOW ? sensor->on_when
                                                 : sensor->on_when_previous);
    case CODE_TRUE_FOR:
        return held_for(l, expr->index,
                        text_of(l, l->model->clocks[expr->index].held));
    case CODE_CALL:
    case CODE_ANY:
        return l->all;
    default:
        break;
    }
    if (expr->op < CODE_TRUE_FOR)
        return leaf(l, expr,
                    expr->op == CODE_VARIABLE || expr->op == CODE_DISPLACED
                        ? expr->variable.index : expr->index,
                    UINT64_MAX, false);
    if (expr->place != CODE_NO_SITE)
        return l->all;
    set = both(l, text_of(l, expr->left), text_of(l, expr->right));
    for (uint32_t i = 0; i < expr->n_args; i++)
        set = both(l, set, text_of(l, expr->args[i].value));
    return set;
}

static leans_set node_of(struct leans *l, const struct trace_node *node,
                         bool assuming);

static leans_set sides(struct leans *l, const struct trace_node *node,
                       bool assuming)
{
    leans_set left = node_of(l, node->left, assuming);
    leans_set right = node_of(l, node->right, assuming);
    bool deciding = node->expr->op == CODE_OR;

    if ((node->expr->op != CODE_AND && node->expr->op != CODE_OR) ||
        (node->value != 0) != deciding)
        return both(l, left, right);
    if ((node->left->value != 0) != deciding)
        return right;
    if ((node->right->value != 0) != deciding)
        return left;
    return leanset_cheaper(&l->room, left, right, l->known);
}

static leans_set node_of(struct leans *l, const struct trace_node *node,
                         bool assuming)
{
    const struct code_expr *expr = node ? node->expr : NULL;
    leans_set held;

    if (!expr)
        return l->none;
    if (expr->op == CODE_CALL)
        return seen(l, node->index, node->serial);
    if (expr->op == CODE_SENSOR)
        return node_of(l, node->left, assuming);
    if (expr->op == CODE_TRUE_FOR) {
        held = node_of(l, node->left, assuming);
        return node->left && node->left->value == 0
                   ? held : held_for(l, expr->index, held);
    }
    if (expr->op < CODE_TRUE_FOR)
        return leaf(l, expr,
                    expr->op == CODE_READ ? expr->index : node->index,
                    node->serial, assuming);
    if (expr->op == CODE_ANY && targets_fails(expr))
        return l->all; /* its operands are not recorded */
    if (node->thing == THING_OPEN)
        return both(l, row(l, node->index), sides(l, node, assuming));
    return sides(l, node, assuming);
}

/* ---- the scan in order ---- */

static void lean(struct leans *l, leans_set set)
{
    l->outcome = both(l, l->outcome, set);
}

static leans_set around(const struct leans *l,
                        const struct trace_guard *guard)
{
    return guard ? l->taken[guard->serial] : l->none;
}

static leans_set condition(struct leans *l, const struct trace_guard *guard)
{
    leans_set set = guard->stmt->kind == CODE_MAY
                        ? row(l, guard->stmt->choice) : l->none;

    for (uint32_t i = 0; i < guard->n_conditions; i++)
        set = both(l, set, node_of(l, guard->condition[i], false));
    return set;
}

/* Whether the branch is run, and any error of it, leans on its condition, and
 * so do the values of all that its other branches would have set. */
static void follow_guard(struct leans *l, const struct trace_guard *guard)
{
    const struct target_list *targets =
        targets_of(l->targets, guard->stmt, guard->base);
    leans_set set = condition(l, guard);

    for (uint32_t i = 0; i < targets->n; i++)
        give(l, targets->slots[i], guard->serial,
             both(l, latest(l, targets->slots[i]), set));
    l->taken[guard->serial] = both(l, around(l, guard->outer), set);
    if (targets->fails)
        lean(l, l->taken[guard->serial]);
}

/* The input may have been given a value before it was looked at. */
static leans_set sampled(struct leans *l, uint32_t index)
{
    const struct slot *slot = &l->model->slots[index];
    leans_set set = l->slot[index]->first ? l->none : latest(l, index);

    switch (slot->driver) {
    case DRIVER_CONTACT:
        return both(l, set, conducted(l, slot->driver_index));
    case DRIVER_SENSOR:
        return both(l, set, conducted(l, l->model->n_contacts +
                                             slot->driver_index));
    default:
        ENSURE(slot->driver == DRIVER_CHOICE);
        return both(l, set, row(l, slot->driver_index));
    }
}

/* Everything that a block remembers leans on all of it and on its inputs. */
static void follow_block(struct leans *l, const struct trace_event *event)
{
    leans_set set = around(l, event->guard);

    for (uint32_t i = 0; i < event->pou->size; i++)
        set = both(l, set, latest(l, event->frame + i));
    for (uint32_t i = 0; i < event->pou->size; i++)
        give(l, event->frame + i, event->serial, set);
}

static void follow_assignment(struct leans *l,
                              const struct trace_event *event)
{
    const struct type *type = l->model->slots[event->index].type;
    bool number = type->kind == TYPE_INTEGER ||
                  type->kind == TYPE_BITS || type->kind == TYPE_TIME ||
                  type->base;
    leans_set set = event->node ? node_of(l, event->node, false)
                                : latest(l, event->from);

    set = both(l, set, around(l, event->guard));
    give(l, event->index, event->serial, set);
    if ((l->stores_fail && number) ||
        (event->node && targets_fails(event->node->expr)))
        lean(l, set);
}

/* Which movements have their condition, and how long they had it. */
static leans_set movement(struct leans *l, uint32_t slot)
{
    leans_set set = word(l, PLACE_SLOT, slot);
    int64_t from = l->before[layout_at(l->layout, PLACE_SLOT, slot)];

    for (uint32_t i = 0; i < l->model->n_movements; i++) {
        const struct movement *m = &l->model->movements[i];

        if (m->slot != slot || m->from != from)
            continue;
        set = both(l, set, node_of(l, l->scan->movements[i], false));
        if (l->scan->movements[i]->value == 0)
            continue;
        if (machine_read_rows(l->machine)[m->choice])
            set = both(l, set, row(l, m->choice));
        set = both(l, set, word(l, PLACE_MOVE_TOTAL, i));
        set = both(l, set, word(l, PLACE_MOVE_UNBROKEN, i));
    }
    return set;
}

static void follow_movements(struct leans *l)
{
    uint32_t n = l->scan->n_movements;

    for (uint32_t i = 0; i < n; i++)
        if (l->scan->movements[i]->expr &&
            targets_fails(l->scan->movements[i]->expr))
            lean(l, node_of(l, l->scan->movements[i], false));
    for (uint32_t i = 0; i < n; i++) {
        uint32_t slot = l->model->movements[i].slot;

        if (!l->move[slot])
            l->move[slot] = movement(l, slot);
    }
    for (uint32_t i = 0; i < l->model->n_slots; i++)
        if (l->move[i])
            give(l, i, l->scan->movements[n - 1]->serial, l->move[i]);
}

/* By a fault, which is kept.  A relay's makes something of what was assigned;
 * an actuator that moves by itself takes what its row says, or stays as it
 * was asked. */
static leans_set forced(struct leans *l, const struct trace_event *event)
{
    const struct slot *slot = &l->model->slots[event->index];
    leans_set set = word(l, PLACE_SLOT, event->index);

    if (slot->home != SLOT_ACTUATOR)
        return both(l, set, latest(l, event->index));
    if (l->model->faults[event->fault].kind != FAULT_UNCOMMANDED)
        return set;
    for (uint32_t i = 0; i < l->model->n_actuators; i++)
        if (l->model->actuators[i].slot == event->index)
            return both(l, latest(l, event->index),
                        row(l, l->model->actuators[i].uncommanded));
    ENSURE(!"an actuator");
    return set;
}

static void follow_event(struct leans *l, const struct trace_event *event)
{
    uint32_t slot = event->index;
    leans_set set;

    switch (event->kind) {
    case TRACE_ASSIGN:
        follow_assignment(l, event);
        return;
    case TRACE_BLOCK:
        follow_block(l, event);
        return;
    case TRACE_SAMPLE:
        set = sampled(l, slot);
        break;
    case TRACE_COMMAND:
        set = event->from == MODEL_NONE ? l->none : latest(l, event->from);
        break;
    case TRACE_COUNT:
        set = both(l, latest(l, slot), around(l, event->guard));
        break;
    case TRACE_FORCED:
        set = forced(l, event);
        break;
    case TRACE_MOVE:
        set = l->move[slot];
        break;
    default:
        ENSURE(event->kind == TRACE_INITIAL);
        set = around(l, event->guard);
        break;
    }
    give(l, slot, event->serial, set);
}

static void follow(struct leans *l)
{
    uint64_t moved = l->scan->n_movements
        ? l->scan->movements[l->scan->n_movements - 1]->serial : UINT64_MAX;

    for (uint64_t serial = 0; serial < l->end; serial++) {
        if (l->guard[serial])
            follow_guard(l, l->guard[serial]);
        if (l->event[serial])
            follow_event(l, l->event[serial]);
        if (serial == moved)
            follow_movements(l);
    }
}

/* ---- what it came to ---- */

/* Texts outside all statements in which an error can happen. */
static void lean_if_fails(struct leans *l, const struct code_expr *expr)
{
    leans_set set = l->none;

    if (!expr || l->model->n_errors == 0)
        return;
    set = text_of(l, expr);
    if (targets_fails(expr) || set == l->all)
        lean(l, set);
}

static void lean_on_texts(struct leans *l)
{
    const struct model *model = l->model;

    for (uint32_t i = 0; i < model->n_sensors; i++) {
        lean_if_fails(l, model->sensors[i].on_when);
        lean_if_fails(l, model->sensors[i].on_when_previous);
        lean_if_fails(l, model->sensors[i].displaced);
    }
    for (uint32_t i = 0; i < model->n_clocks; i++)
        lean_if_fails(l, model->clocks[i].held);
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        const struct requirement *asked = &model->requirements[i];

        lean_if_fails(l, asked->a);
        lean_if_fails(l, asked->b);
        lean_if_fails(l, asked->c);
        lean_if_fails(l, asked->a_previous);
        for (uint32_t k = 0; k < asked->n_started_by; k++)
            lean_if_fails(l, asked->started_by[k]);
        for (uint32_t k = 0; k < asked->n_cancelled_by; k++)
            lean_if_fails(l, asked->cancelled_by[k]);
    }
    lean_if_fails(l, model->noticing.diagnostic);
    lean_if_fails(l, model->noticing.demand);
    lean_if_fails(l, model->noticing.cycle);
    lean_if_fails(l, model->noticing.repair);
}

static void lean_on_assumptions(struct leans *l, enum step_end end)
{
    uint32_t n = l->scan->n_assumptions;

    for (uint32_t i = 0; i < n; i++) {
        const struct trace_node *node = l->scan->assumptions[i];

        if (end != STEP_NOT_ALLOWED || i + 1 == n || l->model->n_errors > 0)
            lean(l, node_of(l, node, true));
    }
}

/* WHILE that does not hold is enough; else both decide. */
static void lean_on_judging(struct leans *l)
{
    const struct trace_judging *judging = &l->scan->judging;

    if (judging->b)
        lean(l, node_of(l, judging->b, false));
    if (!judging->b || judging->b->value != 0)
        lean(l, node_of(l, judging->c, false));
}

static void lean_on_everything(struct leans *l)
{
    uint64_t *set = arena_array(l->scratch, l->room.size, sizeof *set);
    const bool *read = machine_read_rows(l->machine);

    memcpy(set, l->all, l->room.size * sizeof *set);
    for (uint32_t i = 0; i < l->model->n_choices; i++)
        if (!read[i])
            set[i / 64] &= ~(UINT64_C(1) << (i % 64));
    l->outcome = set;
}

/* ---- running it ---- */

static void gather(struct leans *l)
{
    const struct model *model = l->model;

    l->end = 0;
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct trace_event *last = l->trace->latest[THING_SLOT][i];

        if (last && last->serial >= l->end)
            l->end = last->serial + 1;
    }
    if (l->scan->end >= l->end)
        l->end = l->scan->end + 1;
    l->event = arena_array(l->scratch, l->end, sizeof *l->event);
    l->guard = arena_array(l->scratch, l->end, sizeof *l->guard);
    l->taken = arena_array(l->scratch, l->end, sizeof *l->taken);
    l->move = arena_array(l->scratch, model->n_slots, sizeof *l->move);
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct trace_event *e = l->trace->latest[THING_SLOT][i];

        for (; e; e = e->last)
            l->event[e->serial] = e;
        l->slot[i] = &l->found[i];
    }
    for (uint32_t i = 0; i < l->scan->n_guards; i++)
        l->guard[l->scan->guards[i]->serial] = l->scan->guards[i];
}

/* What nobody knows of the controller holds wherever its texts go. */
static void lean_on_controller(struct leans *l)
{
    for (int kind = 0; kind < SETTING_KINDS; kind++)
        if (l->model->settings[kind].any)
            lean(l, word(l, PLACE_SLOT, l->model->settings[kind].slot));
}

static void explain(struct leans *l, const struct step_result *step)
{
    l->outcome = l->none;
    if (step->end == STEP_ERROR) {
        lean_on_everything(l);
        return;
    }
    gather(l);
    follow(l);
    lean_on_controller(l);
    lean_on_assumptions(l, step->end);
    lean_on_texts(l);
    if (step->end == STEP_JUDGED)
        lean_on_judging(l);
}

const struct step_result *leans_step(struct leans *l,
                                     const struct step_setting *setting,
                                     const uint32_t *choices, int64_t *state)
{
    uint32_t words = l->layout->words;
    const struct step_result *step;
    struct tracing *tracing;

    ENSURE(!setting->first);
    arena_free(l->scratch);
    l->scratch = arena_new();
    memcpy(l->state, state, words * sizeof *state);
    l->no_edge = state[layout_at(l->layout, PLACE_WAS_DARK, 0)];
    tracing = tracing_new(l->scratch, l->model, l->requirement, 2);
    tracing_start(tracing, l->layout, state, NULL, 0);
    machine_watch(l->machine, tracing);
    step = machine_step(l->machine, setting, choices, state);
    machine_watch(l->machine, NULL);
    l->trace = tracing_end(tracing);
    l->scan = l->trace->scans;
    explain(l, step);
    return step;
}

/* ---- after it ---- */

leans_set leans_outcome(const struct leans *l)
{
    return l->outcome;
}

static leans_set slot_after(const struct leans *l, uint32_t slot)
{
    if (l->model->slots[slot].temp || !l->layout->slot_kept[slot])
        return l->none;
    return latest(l, slot);
}

static leans_set movement_after(struct leans *l, enum place_kind kind,
                                uint32_t index)
{
    uint32_t slot = l->model->movements[index].slot;
    leans_set set = both(l, word(l, kind, index), latest(l, slot));

    return both(l, set,
                both(l, word(l, PLACE_SLOT, slot),
                     node_of(l, l->scan->movements[index], false)));
}

static leans_set place_after(struct leans *l, enum place_kind kind,
                             uint32_t index)
{
    const struct model *model = l->model;

    switch (kind) {
    case PLACE_SLOT:
        return slot_after(l, index);
    case PLACE_HAND_LAST:
        return row(l, model->controls[index].choice);
    case PLACE_CONTACT_LAST:
        return stage(l, index);
    case PLACE_SENSOR_LAST:
        return stage(l, model->n_contacts + index);
    case PLACE_COMMANDED_LAST:
        return model->actuators[index].command == MODEL_NONE
                   ? l->none
                   : latest(l, model->actuators[index].command);
    case PLACE_MOVE_TOTAL:
    case PLACE_MOVE_UNBROKEN:
        return movement_after(l, kind, index);
    case PLACE_CLOCK_WAS:
    case PLACE_CLOCK_AGE:
        return held_for(l, index, text_of(l, model->clocks[index].held));
    default: /* faults stay, it is lit, memory of requirements is not asked */
        return l->none;
    }
}

leans_set leans_word(struct leans *l, uint32_t at)
{
    int kind = 0;

    ENSURE(at < l->layout->words);
    while (kind + 1 < PLACE_KINDS && at >= l->layout->at[kind + 1])
        kind++;
    return place_after(l, (enum place_kind)kind, at - l->layout->at[kind]);
}

/* ---- beginning and end ---- */

/* An age grows only while its timer runs. */
static leans_set found_in(struct leans *l, uint32_t index)
{
    const struct slot *slot = &l->model->slots[index];

    if (slot->clock)
        return both(l, word(l, PLACE_SLOT, index),
                    both(l, word(l, PLACE_SLOT, index - TIMER_AGE +
                                                    TIMER_RUNNING),
                         word(l, PLACE_SLOT, index - TIMER_AGE +
                                                 TIMER_DONE)));
    if (slot->temp || slot->driver == DRIVER_FIXED ||
        !l->layout->slot_kept[index])
        return l->none;
    return word(l, PLACE_SLOT, index);
}

struct leans *leans_new(struct arena *arena, struct machine *machine,
                        uint32_t requirement)
{
    const struct model *model = machine_model(machine);
    struct leans *l = ARENA_NEW(arena, struct leans);

    l->arena = l->scratch = arena;
    l->machine = machine;
    l->model = model;
    l->layout = machine_layout(machine);
    l->requirement = requirement;
    l->targets = targets_new(arena, model);
    if (!l->targets)
        return NULL;
    leanset_init(&l->room, arena, model->n_choices + l->layout->words);
    l->none = l->room.none;
    l->all = l->room.all;
    for (uint32_t i = 0; i < model->n_errors; i++)
        l->stores_fail |= model->errors[i].kind == ERROR_SUBRANGE;
    l->state = arena_array(arena, l->layout->words, sizeof *l->state);
    l->before = l->state;
    l->slot = arena_array(arena, model->n_slots + 1, sizeof *l->slot);
    l->found = arena_array(arena, model->n_slots + 1, sizeof *l->found);
    for (uint32_t i = 0; i < model->n_slots; i++)
        l->found[i] = (struct version){.set = found_in(l, i), .first = true};
    l->scratch = arena_new();
    return l;
}

void leans_release(struct leans *l)
{
    arena_free(l->scratch);
    l->scratch = NULL;
}
