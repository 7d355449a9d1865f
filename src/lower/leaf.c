#include "lower/leaf.h"

#include "base/ensure.h"
#include "lower/term.h"

/* While assumptions are read, step 5 has not yet given inputs their value:
 * they read as chosen. */
static flat_expr assumed(struct sym *sym, uint32_t index)
{
    const struct slot *slot = &sym->model->slots[index];
    if (slot->driver == DRIVER_CHOICE)
        return sym_choice(sym, slot->driver_index);
    if (slot->driver == DRIVER_FIXED)
        return flat_const(sym->builder, slot->initial);
    return env_get(&sym->env, index);
}

static flat_expr without_edge(struct sym *sym, flat_expr now,
                              flat_expr before)
{
    return flat_ite(sym->builder, sym->no_edge, now, before);
}

/* What comes from outside has no edge where inputs have none, by whatever
 * name it is called. */
static bool from_outside(const struct slot *slot)
{
    return slot->input || slot->driver != DRIVER_NONE;
}

flat_expr leaf_slot(struct sym *sym, uint32_t slot, enum code_when when)
{
    ENSURE(slot < sym->model->n_slots);
    flat_expr before = sym->slot[slot].before;
    flat_expr now = sym->assuming ? assumed(sym, slot)
                                  : env_get(&sym->env, slot);
    if (when == CODE_NOW)
        return now;
    return when == CODE_PREVIOUS && from_outside(&sym->model->slots[slot])
               ? without_edge(sym, now, before) : before;
}

flat_expr leaf_hand(struct sym *sym, uint32_t control, enum code_when when)
{
    ENSURE(control < sym->model->n_controls);
    flat_expr now = sym->hand_now[control];
    flat_expr before = sym->hand[control].before;
    if (when == CODE_NOW)
        return now;
    return when == CODE_LAST ? before : without_edge(sym, now, before);
}

flat_expr leaf_contact(struct sym *sym, uint32_t index,
                       enum code_when when)
{
    ENSURE(index < sym->model->n_contacts);
    const struct contact *contact = &sym->model->contacts[index];
    flat_expr hand = leaf_hand(sym, contact->control, when);
    if (contact->kind == CONTACT_OPENING)
        return flat_not(sym->builder, hand);
    if (contact->kind == CONTACT_ON)
        return term_equals(sym->builder, hand, contact->position);
    return hand;
}

static flat_expr leaf_read(struct sym *sym, const struct code_expr *expr)
{
    uint32_t slot = expr->index;
    ENSURE(slot < sym->model->n_slots);
    flat_expr now = sym->sampled[slot];
    if (sym->assuming || now == FLAT_NONE)
        now = leaf_slot(sym, slot, CODE_NOW);
    if (expr->when == CODE_NOW)
        return now;
    flat_expr before = sym->slot[slot].before;
    return expr->when == CODE_LAST ? before
                                   : without_edge(sym, now, before);
}

static flat_expr leaf_sensed(struct sym *sym, uint32_t sensor)
{
    ENSURE(sensor < sym->model->n_sensors);
    return sym->conducts[sym->model->n_contacts + sensor];
}

static flat_expr leaf_command(struct sym *sym,
                              const struct code_expr *expr)
{
    ENSURE(expr->index < sym->model->n_actuators);
    return expr->when == CODE_NOW ? sym->command[expr->index]
                                  : sym->commanded[expr->index].before;
}

static flat_expr leaf_fault(struct sym *sym, const struct code_expr *expr)
{
    ENSURE(expr->index < sym->model->n_faults);
    return expr->when == CODE_NOW ? sym->fault_now[expr->index]
                                  : sym->fault[expr->index].before;
}

/* As many positions further as all faults of the sensor together say, but not
 * beyond the ends. */
static flat_expr leaf_displaced(struct sym *sym,
                                const struct code_expr *expr)
{
    struct flat_builder *b = sym->builder;
    uint32_t slot = expr->variable.index;
    flat_expr value = leaf_slot(sym, slot, CODE_NOW);
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->kind != FAULT_DISPLACED ||
            effect->first != expr->index || effect->along != slot)
            continue;
        flat_expr by = flat_ite(b, sym->fault_now[effect->fault],
                                flat_const(b, effect->by), flat_const(b, 0));
        value = flat_binary(b, FLAT_ADD, value, by);
    }
    value = term_at_least(b, value, expr->type->low);
    return term_at_most(b, value, expr->type->high);
}

bool leaf_other(struct sym *sym, const struct code_expr *expr,
                flat_expr *value)
{
    struct flat_builder *b = sym->builder;
    switch (expr->op) {
    case CODE_CONST: *value = flat_const(b, expr->value); return true;
    case CODE_HAND:
        *value = leaf_hand(sym, expr->index, expr->when);
        return true;
    case CODE_CONTACT:
        *value = leaf_contact(sym, expr->index, expr->when);
        return true;
    case CODE_CONDUCTS:
        ENSURE(expr->index < sym->model->n_contacts);
        *value = sym->conducts[expr->index];
        return true;
    case CODE_DISPLACED: *value = leaf_displaced(sym, expr); return true;
    case CODE_SENSED: *value = leaf_sensed(sym, expr->index); return true;
    case CODE_READ: *value = leaf_read(sym, expr); return true;
    case CODE_COMMANDED: *value = leaf_command(sym, expr); return true;
    case CODE_FAULT: *value = leaf_fault(sym, expr); return true;
    case CODE_POWER: *value = sym->lit; return true;
    case CODE_COLD: *value = sym->first; return true;
    case CODE_WARM: *value = sym->returned; return true;
    case CODE_ELAPSED:
        *value = flat_ite(b, sym->first, flat_const(b, sym->model->scan),
                          sym->elapsed);
        return true;
    default: return false;
    }
}
