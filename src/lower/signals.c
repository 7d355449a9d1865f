#include "lower/signals.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/pace.h"
#include "lower/unfold.h"
#include "lower/leaf.h"
#include "lower/term.h"

/* A place of conduction is numbered: contacts, then sensors. */
static uint32_t n_places(const struct sym *sym)
{
    return sym->model->n_contacts + sym->model->n_sensors;
}

static uint32_t place_of(const struct sym *sym, enum fault_target target,
                         uint32_t index)
{
    ENSURE(target == AT_CONTACTS || target == AT_SENSOR);
    uint32_t place = target == AT_SENSOR ? sym->model->n_contacts + index
                                         : index;
    ENSURE(place < n_places(sym));
    return place;
}

/* Does the fault, other than by a short to it, act at this place? */
static bool acts_at(const struct sym *sym, const struct fault *fault,
                    uint32_t place)
{
    if (fault->target != AT_CONTACTS && fault->target != AT_SENSOR)
        return false;
    uint32_t first = place_of(sym, fault->target, fault->first);
    uint32_t count = fault->target == AT_SENSOR ? 1 : fault->count;
    return place >= first && place - first < count;
}

/* ---- contact stage and wire off ---- */

static flat_expr contact_stage(struct sym *sym, uint32_t place,
                               flat_expr value, flat_expr last)
{
    struct flat_builder *b = sym->builder;
    for (uint32_t i = 0; i < sym->model->n_faults; i++) {
        const struct fault *fault = &sym->model->faults[i];
        flat_expr present = sym->fault_now[i];
        if (!acts_at(sym, fault, place))
            continue;
        if (fault->kind == FAULT_DOES_NOT_OPEN)
            value = flat_ite(b, present, term_or(b, value, last), value);
        else if (fault->kind == FAULT_DOES_NOT_CLOSE)
            value = flat_ite(b, present, term_and(b, value, last), value);
        else if (fault->kind == FAULT_STAYS)
            value = flat_ite(b, present, last, value);
    }
    return value;
}

/* All faults of one kind at a place make it constant. */
static flat_expr forced_to(struct sym *sym, uint32_t place,
                           flat_expr value, enum fault_kind kind)
{
    struct flat_builder *b = sym->builder;
    flat_expr constant = flat_const(b, kind == FAULT_SHORT_TO_SUPPLY);
    for (uint32_t i = 0; i < sym->model->n_faults; i++) {
        const struct fault *fault = &sym->model->faults[i];
        if (fault->kind == kind && acts_at(sym, fault, place))
            value = flat_ite(b, sym->fault_now[i], constant, value);
    }
    return value;
}

static void conduct_one(struct sym *sym, uint32_t place, flat_expr sound,
                        struct kept last)
{
    flat_expr value = contact_stage(sym, place, sound, last.before);
    sym_keep(sym, last, value);
    sym->conducts[place] = forced_to(sym, place, value, FAULT_WIRE_OFF);
}

/* ---- shorts ---- */

/* One short between two places while its fault is present. */
struct join {
    uint32_t a, b;
    flat_expr present;
};

struct joins {
    struct join *at;
    uint32_t n;
};

static struct joins all_shorts(struct sym *sym)
{
    const struct model *model = sym->model;
    struct joins joins = {NULL, 0};
    uint32_t n = 0;
    for (uint32_t i = 0; i < model->n_faults; i++)
        if (model->faults[i].kind == FAULT_SHORT_TO)
            n += model->faults[i].target == AT_SENSOR
                     ? 1 : model->faults[i].count;
    joins.at = arena_array(sym->arena, n, sizeof *joins.at);
    for (uint32_t i = 0; i < model->n_faults; i++) {
        const struct fault *fault = &model->faults[i];
        if (fault->kind != FAULT_SHORT_TO)
            continue;
        uint32_t other = place_of(sym, fault->other_target, fault->other);
        for (uint32_t place = 0; place < n_places(sym); place++)
            if (acts_at(sym, fault, place))
                joins.at[joins.n++] =
                    (struct join){place, other, sym->fault_now[i]};
    }
    return joins;
}

static uint32_t group_of(uint32_t *group, uint32_t place)
{
    while (group[place] != place)
        place = group[place] = group[group[place]];
    return place;
}

/* Groups places that shorts can join, whatever is present. */
static uint32_t *group_places(struct sym *sym, const struct joins *joins)
{
    uint32_t *group = arena_array(sym->arena, n_places(sym),
                                  sizeof *group);
    for (uint32_t i = 0; i < n_places(sym); i++)
        group[i] = i;
    for (uint32_t i = 0; i < joins->n; i++)
        group[group_of(group, joins->at[i].a)] =
            group_of(group, joins->at[i].b);
    return group;
}

static void join_pair(struct sym *sym, const struct join *join)
{
    struct flat_builder *b = sym->builder;
    flat_expr *one = &sym->conducts[join->a];
    flat_expr *other = &sym->conducts[join->b];
    flat_expr gives = term_and(b, join->present, term_or(b, *one, *other));
    *one = term_or(b, *one, gives);
    *other = term_or(b, *other, gives);
}

/* Supply spreads through present shorts: the i-th round reaches what is i
 * shorts away, and no way is longer than a group has joins. */
static void join_group(struct sym *sym, const struct joins *joins,
                       uint32_t *group, uint32_t root)
{
    uint32_t rounds = 0;
    for (uint32_t i = 0; i < joins->n; i++)
        rounds += group_of(group, joins->at[i].a) == root;
    for (uint32_t round = 0; round < rounds; round++)
        for (uint32_t i = 0; i < joins->n; i++)
            if (group_of(group, joins->at[i].a) == root)
                join_pair(sym, &joins->at[i]);
}

static void conduct_shorts(struct sym *sym)
{
    struct joins joins = all_shorts(sym);
    uint32_t *group = group_places(sym, &joins);
    for (uint32_t i = 0; i < n_places(sym); i++)
        if (group_of(group, i) == i)
            join_group(sym, &joins, group, i);
}

void signals_conduct(struct sym *sym)
{
    const struct model *model = sym->model;
    flat_expr *sound = arena_array(sym->arena, model->n_sensors,
                                   sizeof *sound);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        sound[i] = unfold_expr(sym, model->sensors[i].on_when);
    for (uint32_t i = 0; i < model->n_contacts; i++)
        conduct_one(sym, i, leaf_contact(sym, i, CODE_NOW),
                    sym->contact_last[i]);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        conduct_one(sym, model->n_contacts + i, sound[i],
                    sym->sensor_last[i]);
    conduct_shorts(sym);
    for (uint32_t i = 0; i < n_places(sym); i++)
        sym->conducts[i] = forced_to(sym, i, sym->conducts[i],
                                      FAULT_SHORT_TO_SUPPLY);
}

/* ---- inputs and actuators ---- */

static void sample_one(struct sym *sym, uint32_t index)
{
    const struct slot *slot = &sym->model->slots[index];
    uint32_t driver = slot->driver_index;
    flat_expr value = FLAT_NONE;
    switch (slot->driver) {
    case DRIVER_CONTACT: value = sym->conducts[driver]; break;
    case DRIVER_SENSOR:
        value = sym->conducts[sym->model->n_contacts + driver];
        break;
    case DRIVER_FIXED:
        value = flat_const(sym->builder, slot->initial);
        break;
    case DRIVER_CHOICE: value = sym_choice(sym, driver); break;
    case DRIVER_NONE:
    case DRIVER_WIRING: return; /* the text gives the value, or it stays */
    }
    uint32_t sampler = pace_sampler(sym->model, index);
    env_set_if(&sym->env, sampler == MODEL_NONE ? term_true(sym->builder)
                                                : sym_due(sym, sampler),
               index, value);
}

void signals_sample(struct sym *sym)
{
    for (uint32_t i = 0; i < sym->model->n_slots; i++)
        sample_one(sym, i);
}

void signals_command(struct sym *sym)
{
    for (uint32_t i = 0; i < sym->model->n_actuators; i++) {
        const struct actuator *actuator = &sym->model->actuators[i];
        if (!actuator->wired)
            env_set(&sym->env, actuator->slot, sym->command[i]);
    }
}

static void actuator_fault(struct sym *sym, const struct fault *fault,
                           flat_expr present)
{
    ENSURE(fault->first < sym->model->n_actuators);
    uint32_t slot = sym->model->actuators[fault->first].slot;
    flat_expr value = sym->slot[slot].before;
    if (fault->kind != FAULT_STAYS)
        value = flat_const(sym->builder,
                           fault->kind == FAULT_SHORT_TO_SUPPLY);
    env_set_if(&sym->env, present, slot, value);
}

void signals_actuator_faults(struct sym *sym)
{
    static const enum fault_kind order[] = {FAULT_STAYS, FAULT_WIRE_OFF,
                                            FAULT_SHORT_TO_SUPPLY};
    for (size_t k = 0; k < sizeof order / sizeof *order; k++)
        for (uint32_t i = 0; i < sym->model->n_faults; i++)
            if (sym->model->faults[i].target == AT_ACTUATOR &&
                sym->model->faults[i].kind == order[k])
                actuator_fault(sym, &sym->model->faults[i],
                               sym->fault_now[i]);
}
