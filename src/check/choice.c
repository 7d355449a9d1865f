#include "check/choice.h"

#include "base/text.h"
#include "check/anyrow.h"
#include "check/controller.h"
#include "check/elapsed.h"
#include "check/rounding.h"
#include "check/values.h"

static uint32_t push(struct draft *draft, const struct choice *choice)
{
    vec_push(&draft->choices, *choice);
    return (uint32_t)(draft->choices.n - 1);
}

static struct choice of(enum choice_kind kind, const char *name,
                        uint32_t at, const struct type *type,
                        struct span span)
{
    return (struct choice){
        .kind = kind, .name = name, .of = at, .type = type, .span = span};
}

/* Shortest first; one time only is no choice. */
static void times(struct draft *draft)
{
    const struct tree_expr *said = draft->run->review.scan.longest;
    int64_t least = draft->scan_least, step = draft->scan_step;
    struct choice choice;

    if (least == draft->model->scan)
        return;
    choice = of(CHOICE_TIME, "elapsed", MODEL_NONE, draft->types.time,
                said->span);
    values_steps(draft, least, step, draft->model->scan, &choice);
    push(draft, &choice);
}

static void power(struct draft *draft)
{
    struct choice choice =
        of(CHOICE_POWER, "power", MODEL_NONE, draft->types.boolean,
           draft->run->review.power_span);

    if (!draft->model->power_may_fail)
        return;
    values_count(draft, 2, &choice);
    push(draft, &choice);
}

static uint32_t fault_row(struct draft *draft, const struct name *name,
                          uint32_t at, struct span span)
{
    struct choice choice = of(CHOICE_FAULT, name->spelling, at,
                              draft->types.boolean, span);

    values_count(draft, 2, &choice);
    return push(draft, &choice);
}

/* Causes first, then the faults with moments of their own. */
static void faults(struct draft *draft)
{
    uint32_t n = (uint32_t)draft->causes.n;

    for (uint32_t i = 0; i < n; i++) {
        struct cause *cause = &draft->causes.at[i];

        cause->choice = fault_row(draft, cause->name, i, cause->span);
    }
    for (uint32_t i = 0; i < draft->faults.n; i++) {
        struct fault *fault = &draft->faults.at[i];

        if (fault->own)
            fault->choice = fault_row(draft, fault->name, n + i, fault->span);
        else if (!fault->excluded)
            fault->choice = draft->causes.at[fault->cause].choice;
    }
}

/* ---- START and PAST ---- */

static bool is_kept(const struct draft *draft, const struct slot *slot)
{
    return draft->model->retain_any && slot->retain &&
           slot->driver == DRIVER_NONE && !slot->temp &&
           (slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL);
}

static void starts(struct draft *draft, const struct flow *flow)
{
    for (uint32_t i = 0; i < draft->slots.n; i++) {
        struct slot *slot = &draft->slots.at[i];
        bool kept = is_kept(draft, slot);
        struct choice choice =
            of(CHOICE_START, slot->path, i, slot->type, slot->span);

        if (slot->start == MODEL_NONE &&
            (!kept || controller_holds(slot)))
            continue;
        /* the age of a timer is compared with PT and stands for any time */
        if (slot->home == SLOT_SETTING)
            controller_values(draft, i, &choice);
        else
            values_of(draft, flow, kept && !slot->clock ? i : MODEL_NONE,
                      &choice);
        choice.rest = 0;
        slot->start = push(draft, &choice);
    }
}

static bool needs_past(const struct draft *draft, enum fault_target target,
                       uint32_t index)
{
    for (size_t i = 0; i < draft->effects.n; i++) {
        const struct effect *effect = &draft->effects.at[i];

        if (effect->target == target && index >= effect->first &&
            index < effect->first + effect->count &&
            (effect->kind == FAULT_STAYS ||
             effect->kind == FAULT_DOES_NOT_OPEN ||
             effect->kind == FAULT_DOES_NOT_CLOSE))
            return true;
    }
    return false;
}

static void pasts(struct draft *draft, const struct flow *flow)
{
    for (uint32_t i = 0; i < draft->contacts.n; i++) {
        struct contact *contact = &draft->contacts.at[i];
        struct choice choice = of(CHOICE_PAST, contact->name->spelling, i,
                                  contact->type, contact->span);

        if (!needs_past(draft, AT_CONTACTS, i))
            continue;
        values_of(draft, flow, flow_hand(flow, contact->control), &choice);
        choice.rest = 0;
        contact->past = push(draft, &choice);
    }
    for (uint32_t i = 0; i < draft->sensors.n; i++) {
        struct sensor *sensor = &draft->sensors.at[i];
        struct choice choice = of(CHOICE_PAST, sensor->name->spelling,
                                  (uint32_t)draft->contacts.n + i,
                                  draft->types.boolean, sensor->span);

        if (!needs_past(draft, AT_SENSOR, i))
            continue;
        values_count(draft, 2, &choice);
        sensor->past = push(draft, &choice);
    }
}

/* ---- MACHINE ---- */

/* Numbers the movements of one variable from 1 on, in declared order. */
static uint32_t number_movements(struct draft *draft, uint32_t slot,
                                 uint32_t choice)
{
    uint32_t number = 0;

    for (size_t i = 0; i < draft->movements.n; i++)
        if (draft->movements.at[i].slot == slot) {
            draft->movements.at[i].choice = choice;
            draft->movements.at[i].number = ++number;
        }
    return number;
}

static void movements(struct draft *draft)
{
    for (size_t i = 0; i < draft->movements.n; i++) {
        uint32_t slot = draft->movements.at[i].slot;
        struct choice choice =
            of(CHOICE_MACHINE, draft->slots.at[slot].path, slot,
               draft->types.dint, draft->movements.at[i].span);

        if (draft->movements.at[i].number)
            continue;
        values_count(
            draft,
            1 + number_movements(draft, slot, (uint32_t)draft->choices.n),
            &choice);
        push(draft, &choice);
    }
}

static void mays(struct draft *draft)
{
    for (size_t i = 0; i < draft->mays.n; i++) {
        struct code_stmt *may = draft->mays.at[i];
        struct choice choice =
            of(CHOICE_MACHINE,
               arena_printf(draft->arena, "MAY on line %u",
                            draft_line(draft, may->span)),
               MODEL_NONE, draft->types.dint, may->span);

        values_count(draft, 1 + may->n_branches, &choice);
        may->choice = push(draft, &choice);
    }
}

/* ---- OPERATOR, INPUT, SHARED, UNCOMMANDED ---- */

static void operators(struct draft *draft, const struct flow *flow)
{
    for (uint32_t i = 0; i < draft->controls.n; i++) {
        struct control *control = &draft->controls.at[i];
        struct choice choice = of(CHOICE_OPERATOR, control->name->spelling,
                                  i, control->type, control->span);

        values_of(draft, flow, flow_hand(flow, i), &choice);
        if (control->kind == SIGNAL_SELECTOR)
            choice.rest = 0;
        control->choice = push(draft, &choice);
    }
}

static void inputs(struct draft *draft, const struct flow *flow,
                   bool shared)
{
    for (uint32_t i = 0; i < draft->slots.n; i++) {
        struct slot *slot = &draft->slots.at[i];
        struct choice choice = of(shared ? CHOICE_SHARED : CHOICE_INPUT,
                                  slot->path, i, slot->type, slot->span);

        if (slot->driver != DRIVER_CHOICE ||
            draft->uses.at[i].shared != shared)
            continue;
        values_of(draft, flow, i, &choice);
        slot->driver_index = push(draft, &choice);
    }
}

/* One row per actuator, whatever number of faults lets it move. */
static void uncommanded(struct draft *draft, const struct flow *flow)
{
    for (size_t i = 0; i < draft->effects.n; i++) {
        const struct effect *effect = &draft->effects.at[i];
        struct actuator *actuator;
        struct choice choice;

        if (effect->kind != FAULT_UNCOMMANDED)
            continue;
        actuator = &draft->actuators.at[effect->first];
        if (actuator->uncommanded != MODEL_NONE)
            continue;
        choice = of(CHOICE_UNCOMMANDED, actuator->name->spelling,
                    effect->first, actuator->type, actuator->span);
        values_of(draft, flow, actuator->slot, &choice);
        choice.rest = 0;
        actuator->uncommanded = push(draft, &choice);
    }
}

void choice_make(struct draft *draft)
{
    struct flow flow;

    flow_follow(&flow, draft);
    rounding_cut(&flow);
    times(draft);
    power(draft);
    faults(draft);
    starts(draft, &flow);
    pasts(draft, &flow);
    movements(draft);
    mays(draft);
    operators(draft, &flow);
    inputs(draft, &flow, false);
    inputs(draft, &flow, true);
    uncommanded(draft, &flow);
    anyrow_make(draft, &flow);
    elapsed_limit(draft, &flow);
    flow_release(&flow);
}
