#include "lower/signals.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/pace.h"
#include "lower/unfold.h"
#include "lower/leaf.h"
#include "lower/term.h"
#include "lower/will.h"

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

/* Does the effect, other than by a short to it, act at this place? */
static bool acts_at(const struct sym *sym, const struct effect *effect,
                    uint32_t place)
{
    if (effect->target != AT_CONTACTS && effect->target != AT_SENSOR)
        return false;
    uint32_t first = place_of(sym, effect->target, effect->first);
    return place >= first && place - first < effect->count;
}

/* ---- contact stage and wire off ---- */

static flat_expr contact_stage(struct sym *sym, uint32_t place,
                               flat_expr value, flat_expr last)
{
    struct flat_builder *b = sym->builder;
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        flat_expr present = sym->fault_now[effect->fault];
        if (!acts_at(sym, effect, place))
            continue;
        if (effect->kind == FAULT_DOES_NOT_OPEN)
            value = flat_ite(b, present, term_or(b, value, last), value);
        else if (effect->kind == FAULT_DOES_NOT_CLOSE)
            value = flat_ite(b, present, term_and(b, value, last), value);
        else if (effect->kind == FAULT_STAYS)
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
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->kind == kind && acts_at(sym, effect, place))
            value = flat_ite(b, sym->fault_now[effect->fault], constant,
                             value);
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
    for (uint32_t i = 0; i < model->n_effects; i++)
        if (model->effects[i].kind == FAULT_SHORT_TO)
            n += model->effects[i].count;
    joins.at = arena_array(sym->arena, n, sizeof *joins.at);
    for (uint32_t i = 0; i < model->n_effects; i++) {
        const struct effect *effect = &model->effects[i];
        if (effect->kind != FAULT_SHORT_TO)
            continue;
        uint32_t other = place_of(sym, effect->other_target, effect->other);
        for (uint32_t place = 0; place < n_places(sym); place++)
            if (acts_at(sym, effect, place))
                joins.at[joins.n++] = (struct join){
                    place, other, sym->fault_now[effect->fault]};
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

/* Is it displaced by any fault? */
static flat_expr displaced(struct sym *sym, uint32_t sensor)
{
    flat_expr any = term_false(sym->builder);
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->kind == FAULT_DISPLACED && effect->first == sensor)
            any = term_or(sym->builder, any, sym->fault_now[effect->fault]);
    }
    return any;
}

/* What the sensor sees.  A displaced one is asked for only while it is
 * displaced: an error in its ON WHEN occurs only there. */
static flat_expr seen(struct sym *sym, uint32_t sensor, flat_expr sound)
{
    const struct code_expr *elsewhere = sym->model->sensors[sensor].displaced;
    flat_expr path = sym->path, moved, value;
    size_t mark = env_mark(&sym->env);
    if (!elsewhere)
        return sound;
    moved = displaced(sym, sensor);
    sym->path = term_and(sym->builder, path, moved);
    value = unfold_expr(sym, elsewhere);
    sym->path = path;
    struct env_changes changes = env_take(&sym->env, mark);
    env_merge(&sym->env, mark, moved, &changes);
    return flat_ite(sym->builder, moved, value, sound);
}

void signals_conduct(struct sym *sym)
{
    const struct model *model = sym->model;
    flat_expr *sound = arena_array(sym->arena, model->n_sensors,
                                   sizeof *sound);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        sound[i] = seen(
            sym, i, will_sensor(sym, i, unfold_expr(
                                            sym, model->sensors[i].on_when)));
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

static flat_expr forced_value(struct sym *sym, const struct effect *effect,
                              uint32_t slot)
{
    if (effect->kind == FAULT_STAYS)
        return sym->slot[slot].before;
    return flat_const(sym->builder, effect->kind == FAULT_SHORT_TO_SUPPLY);
}

static void actuator_faults(struct sym *sym, enum fault_kind kind)
{
    const struct model *model = sym->model;
    for (uint32_t i = 0; i < model->n_effects; i++) {
        const struct effect *effect = &model->effects[i];
        if (effect->target != AT_ACTUATOR || effect->kind != kind)
            continue;
        ENSURE(effect->first < model->n_actuators);
        uint32_t slot = model->actuators[effect->first].slot;
        env_set_if(&sym->env, sym->fault_now[effect->fault], slot,
                   forced_value(sym, effect, slot));
    }
}

/* Present in any of the faults that let it move. */
static flat_expr without_command(struct sym *sym, uint32_t actuator)
{
    flat_expr any = term_false(sym->builder);
    for (uint32_t i = 0; i < sym->model->n_effects; i++) {
        const struct effect *effect = &sym->model->effects[i];
        if (effect->kind == FAULT_UNCOMMANDED && effect->first == actuator)
            any = term_or(sym->builder, any, sym->fault_now[effect->fault]);
    }
    return any;
}

/* It counts as a movement where it is not as it would be. */
static void move_by_itself(struct sym *sym, uint32_t index)
{
    struct flat_builder *b = sym->builder;
    const struct actuator *actuator = &sym->model->actuators[index];
    uint32_t row = actuator->uncommanded;
    if (row == MODEL_NONE)
        return;
    flat_expr loose = without_command(sym, index);
    flat_expr value = sym_choice(sym, row);
    flat_expr as_asked =
        flat_binary(b, FLAT_EQ, value, env_get(&sym->env, actuator->slot));
    sym->moved[row] = term_less(b, loose, as_asked);
    env_set_if(&sym->env, loose, actuator->slot, value);
}

void signals_actuator_faults(struct sym *sym)
{
    actuator_faults(sym, FAULT_STAYS);
    actuator_faults(sym, FAULT_WIRE_OFF);
    actuator_faults(sym, FAULT_SHORT_TO_SUPPLY);
    for (uint32_t i = 0; i < sym->model->n_actuators; i++)
        move_by_itself(sym, i);
}
