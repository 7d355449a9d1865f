#include "lower/relay.h"

#include "lower/term.h"

/* Coil first, then its contacts. */
static flat_expr coil(struct sym *sym, uint32_t slot, flat_expr value,
                      enum fault_kind kind)
{
    struct flat_builder *b = sym->builder;
    flat_expr constant = flat_const(b, kind == FAULT_SHORT_TO_SUPPLY);
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->target == AT_RELAY && effect->first == slot &&
            effect->kind == kind)
            value = flat_ite(b, sym->fault_now[effect->fault], constant,
                             value);
    }
    return value;
}

static flat_expr contacts(struct sym *sym, uint32_t slot, flat_expr value)
{
    struct flat_builder *b = sym->builder;
    flat_expr last = sym->slot[slot].before;
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->target != AT_RELAY || effect->first != slot)
            continue;
        flat_expr present = sym->fault_now[effect->fault];
        if (effect->kind == FAULT_DOES_NOT_OPEN)
            value = flat_ite(b, present, term_or(b, value, last), value);
        else if (effect->kind == FAULT_DOES_NOT_CLOSE)
            value = flat_ite(b, present, term_and(b, value, last), value);
        else if (effect->kind == FAULT_STAYS)
            value = flat_ite(b, present, last, value);
    }
    return value;
}

static bool has_faults(const struct sym *sym, uint32_t slot)
{
    for (uint32_t i = 0; i < sym->model->n_effects; i++)
        if (sym->model->effects[i].target == AT_RELAY &&
            sym->model->effects[i].first == slot)
            return true;
    return false;
}

flat_expr relay_holds(struct sym *sym, uint32_t slot, flat_expr value)
{
    if (sym->model->slots[slot].home != SLOT_WIRING_IN &&
        sym->model->slots[slot].home != SLOT_WIRING_OUT)
        return value;
    value = coil(sym, slot, value, FAULT_WIRE_OFF);
    value = coil(sym, slot, value, FAULT_SHORT_TO_SUPPLY);
    return contacts(sym, slot, value);
}

void relay_begin(struct sym *sym, enum slot_home home)
{
    for (uint32_t i = 0; i < sym->model->n_slots; i++)
        if (sym->model->slots[i].home == home && has_faults(sym, i))
            env_set(&sym->env, i,
                    relay_holds(sym, i, env_get(&sym->env, i)));
}
