#include "study/usual.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/begun_machine.h"
#include "study/load.h"

struct lister {
    struct loaded *loaded;
    const struct model *model;
    VEC(struct usual) all;
    const char *heading; /* for the next one */
    unsigned number;     /* of the last name */
};

/* ---- one fault ---- */

/* A short joins either end to the other. */
static bool same_short(const struct effect *a, const struct effect *b)
{
    return a->kind == FAULT_SHORT_TO && b->kind == FAULT_SHORT_TO &&
           a->count == 1 && b->count == 1 && a->target == b->other_target &&
           a->first == b->other && a->other_target == b->target &&
           a->other == b->first;
}

static bool same_effect(const struct effect *a, const struct effect *b)
{
    return same_short(a, b) ||
           (a->kind == b->kind && a->target == b->target &&
            a->first == b->first && a->count == b->count &&
            a->other_target == b->other_target && a->other == b->other &&
            a->by == b->by && a->along == b->along);
}

/* The fault of the text that does just this, or NULL. */
static const struct fault *said_by(const struct model *model,
                                   const struct usual *usual)
{
    for (uint32_t f = 0; f < model->n_faults; f++) {
        uint32_t same = 0, n = 0;

        for (uint32_t i = 0; i < model->n_effects; i++) {
            if (model->effects[i].fault != f)
                continue;
            n++;
            for (uint32_t k = 0; k < usual->n_effects; k++)
                same += same_effect(&model->effects[i], &usual->effects[k]);
        }
        if (n == usual->n_effects && same == n)
            return &model->faults[f];
    }
    return NULL;
}

/* F1, F2 and so on, but no name that stands anywhere. */
static const char *fresh_name(struct lister *l)
{
    const char *wanted, *name;

    do {
        wanted = arena_printf(l->loaded->arena, "F%u", ++l->number);
        name = begun_fresh(l->loaded, wanted);
    } while (strcmp(name, wanted) != 0);
    return name;
}

static void add(struct lister *l, struct usual usual)
{
    struct effect *copy = arena_array(l->loaded->arena, usual.n_effects,
                                      sizeof *copy);
    const struct fault *fault;

    memcpy(copy, usual.effects, usual.n_effects * sizeof *copy);
    usual.effects = copy;
    usual.heading = l->heading;
    l->heading = NULL;
    fault = said_by(l->model, &usual);
    usual.said = fault != NULL;
    usual.name = fault ? fault->name->spelling : fresh_name(l);
    vec_push(&l->all, usual);
}

static void add_one(struct lister *l, const struct effect *effect,
                    const char *note, enum usual_source source)
{
    add(l, (struct usual){.effects = effect, .n_effects = 1, .note = note,
                          .source = source});
}

static void add_excluded(struct lister *l, const struct effect *effect,
                         const char *note, enum usual_source source)
{
    add(l, (struct usual){.effects = effect, .n_effects = 1, .note = note,
                          .source = source, .excluded = true});
}

/* ---- contacts and their wires ---- */

static struct effect of_contacts(enum fault_kind kind, uint32_t first,
                                 uint32_t count)
{
    return (struct effect){.kind = kind, .target = AT_CONTACTS,
                           .first = first, .count = count};
}

static void short_between(struct lister *l, uint32_t one, uint32_t other)
{
    uint32_t n = l->model->n_contacts;
    struct effect effect = {
        .kind = FAULT_SHORT_TO, .count = 1,
        .target = one < n ? AT_CONTACTS : AT_SENSOR,
        .first = one < n ? one : one - n,
        .other_target = other < n ? AT_CONTACTS : AT_SENSOR,
        .other = other < n ? other : other - n};

    add_one(l, &effect, "neighbouring contacts or conductors touch",
            USUAL_ANNEX_D);
}

static bool carries_a_value(const struct model *model, uint32_t line)
{
    return line < model->n_contacts &&
           model->contacts[line].kind == CONTACT_VALUE;
}

static void wire(struct lister *l, struct effect place)
{
    place.kind = FAULT_WIRE_OFF;
    add_one(l, &place, "conductor open, or to earth", USUAL_ANNEX_D);
    place.kind = FAULT_SHORT_TO_SUPPLY;
    add_one(l, &place, "conductor to supply", USUAL_ANNEX_D);
}

static void one_contact(struct lister *l, uint32_t index)
{
    struct effect effect = of_contacts(FAULT_DOES_NOT_OPEN, index, 1);

    if (l->model->contacts[index].kind == CONTACT_OPENING)
        add_excluded(l, &effect,
                     "contact does not open; usually excluded for direct "
                     "opening action, of the contact alone, not of what "
                     "moves it", USUAL_ANNEX_D);
    else
        add_one(l, &effect, "contact does not open", USUAL_ANNEX_D);
    effect.kind = FAULT_DOES_NOT_CLOSE;
    add_one(l, &effect, "contact does not close", USUAL_ANNEX_D);
    wire(l, effect);
}

static bool is_change_over(const struct model *model, uint32_t first,
                           uint32_t count)
{
    bool closing = false, opening = false;

    for (uint32_t i = first; i < first + count; i++) {
        closing |= model->contacts[i].kind == CONTACT_CLOSING;
        opening |= model->contacts[i].kind == CONTACT_OPENING;
    }
    return closing && opening;
}

/* What hits all contacts of a control, each of them being a place. */
static void together(struct lister *l, uint32_t first, uint32_t count,
                     enum fault_kind kind, const char *note)
{
    struct effect effect = of_contacts(kind, first, count);

    add_one(l, &effect, note,
            kind == FAULT_WIRE_OFF ? USUAL_PRACTICE : USUAL_ANNEX_D);
}

static void contacts_of(struct lister *l, uint32_t first, uint32_t count)
{
    struct effect jammed = of_contacts(FAULT_STAYS, first, count);

    add_one(l, &jammed, "jammed: it stays where it is", USUAL_ANNEX_A);
    if (carries_a_value(l->model, first))
        return;
    for (uint32_t i = first; i < first + count; i++) {
        one_contact(l, i);
        if (i > first)
            short_between(l, i - 1, i);
    }
    if (count > 1)
        together(l, first, count, FAULT_WIRE_OFF, "its plug is off");
    if (is_change_over(l->model, first, count))
        together(l, first, count, FAULT_SHORT_TO_SUPPLY,
                 "change-over contact: all three shorted");
}

static void controls(struct lister *l)
{
    const struct model *model = l->model;

    for (uint32_t c = 0; c < model->n_controls; c++) {
        uint32_t first = 0, count = 0;

        for (uint32_t i = 0; i < model->n_contacts; i++)
            if (model->contacts[i].control == c && !count++)
                first = i;
        l->heading = model->controls[c].title;
        if (count > 0)
            contacts_of(l, first, count);
    }
}

/* ---- sensors ---- */

static bool reads(const struct code_expr *expr, uint32_t slot)
{
    if (!expr)
        return false;
    if (expr->op == CODE_VARIABLE && expr->variable.base == CODE_GLOBAL &&
        !expr->variable.n_steps && expr->variable.index == slot)
        return true;
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (reads(expr->args[i].value, slot))
            return true;
    return reads(expr->left, slot) || reads(expr->right, slot);
}

/* Positions in a row, declared alone (check/effect.h). */
static bool has_positions(const struct slot *slot)
{
    return slot->home == SLOT_MACHINE && !slot->temp &&
           !strpbrk(slot->path, ".[") &&
           (slot->type->kind == TYPE_ENUM ||
            (slot->type->kind == TYPE_INTEGER &&
             slot->type->low >= INT32_MIN && slot->type->high <= INT32_MAX));
}

static void displaced(struct lister *l, uint32_t sensor)
{
    const struct model *model = l->model;

    for (uint32_t s = 0; s < model->n_slots; s++)
        for (int by = 1; by >= -1; by -= 2) {
            struct effect effect = {
                .kind = FAULT_DISPLACED, .target = AT_SENSOR,
                .first = sensor, .count = 1, .by = by, .along = s};

            if (has_positions(&model->slots[s]) &&
                reads(model->sensors[sensor].on_when, s))
                add_one(l, &effect,
                        "bracket bent, or its switching distance drifts",
                        USUAL_ANNEX_A);
        }
}

static void sensors(struct lister *l)
{
    const struct model *model = l->model;

    for (uint32_t s = 0; s < model->n_sensors; s++) {
        struct effect effect = {.kind = FAULT_STAYS, .target = AT_SENSOR,
                                .first = s, .count = 1};

        l->heading = model->sensors[s].title;
        add_one(l, &effect, "jammed: it stays as it is", USUAL_ANNEX_A);
        effect.kind = FAULT_WIRE_OFF;
        add_one(l, &effect, "permanently off, supply or conductor open",
                USUAL_ANNEX_D);
        effect.kind = FAULT_SHORT_TO_SUPPLY;
        add_one(l, &effect, "permanently on, or conductor to supply",
                USUAL_ANNEX_D);
        displaced(l, s);
    }
}

/* Lines that lie side by side where they are declared so; those of one
 * control are listed with it. */
static void neighbours(struct lister *l)
{
    const struct model *model = l->model;
    uint32_t n = model->n_contacts;

    l->heading = "conductors that lie side by side";
    for (uint32_t i = 1; i < n + model->n_sensors; i++)
        if (!carries_a_value(model, i - 1) && !carries_a_value(model, i) &&
            !(i < n && model->contacts[i].control ==
                           model->contacts[i - 1].control))
            short_between(l, i - 1, i);
}

/* ---- actuators ---- */

static void valve_moves(struct lister *l, struct effect effect, bool spring)
{
    effect.kind = FAULT_UNCOMMANDED;
    if (spring)
        add_excluded(l, &effect,
                     "changes its position without command; usually excluded "
                     "for a well-tried spring, normal mounting and operation",
                     USUAL_ANNEX_C);
    else
        add_one(l, &effect,
                "changes its position without command: no spring holds it",
                USUAL_ANNEX_C);
}

static void one_actuator(struct lister *l, uint32_t index)
{
    const struct actuator *what = &l->model->actuators[index];
    struct effect effect = {.kind = FAULT_WIRE_OFF, .target = AT_ACTUATOR,
                            .first = index, .count = 1};

    l->heading = what->title;
    add_one(l, &effect,
            what->kind == SIGNAL_VALVE ? "solenoid does not pull"
                                       : "does not come on, conductor open",
            USUAL_ANNEX_D);
    effect.kind = FAULT_SHORT_TO_SUPPLY;
    if (what->type->kind == TYPE_BOOL)
        add_one(l, &effect,
                what->kind == SIGNAL_VALVE
                    ? "solenoid does not let go, conductor to supply"
                    : "does not go off, conductor to supply",
                USUAL_ANNEX_D);
    effect.kind = FAULT_STAYS;
    if (what->kind == SIGNAL_VALVE)
        add_one(l, &effect, "spool sticks, at an end or in between",
                USUAL_ANNEX_C);
    else if (what->type->kind != TYPE_BOOL)
        add_one(l, &effect, "output stuck", USUAL_ANNEX_D);
    if (what->kind == SIGNAL_VALVE)
        valve_moves(l, effect, what->spring);
}

static void all_actuators(struct lister *l, enum fault_kind kind,
                          const char *note)
{
    uint32_t n = 0;
    struct effect *effects = arena_array(
        l->loaded->arena, l->model->n_actuators + 1, sizeof *effects);

    for (uint32_t i = 0; i < l->model->n_actuators; i++)
        if (kind == FAULT_WIRE_OFF ||
            l->model->actuators[i].type->kind == TYPE_BOOL)
            effects[n++] = (struct effect){.kind = kind, .count = 1,
                                           .target = AT_ACTUATOR,
                                           .first = i};
    if (n > 1)
        add(l, (struct usual){.effects = effects, .n_effects = n,
                              .note = note, .source = USUAL_ANNEX_D});
}

static void actuators(struct lister *l)
{
    for (uint32_t i = 0; i < l->model->n_actuators; i++)
        one_actuator(l, i);
}

/* ---- relays, programs, supplies ---- */

static bool is_relay(const struct slot *slot)
{
    return (slot->home == SLOT_WIRING_IN || slot->home == SLOT_WIRING_OUT) &&
           slot->type->kind == TYPE_BOOL && !slot->temp &&
           !strpbrk(slot->path, ".[");
}

static void relays(struct lister *l)
{
    static const struct {
        enum fault_kind kind;
        const char *note;
    } rows[] = {{FAULT_WIRE_OFF, "coil without current"},
                {FAULT_SHORT_TO_SUPPLY, "coil stays under current"},
                {FAULT_DOES_NOT_OPEN, "contacts welded"},
                {FAULT_DOES_NOT_CLOSE, "contacts do not close"}};

    for (uint32_t s = 0; s < l->model->n_slots; s++) {
        struct effect effect = {.target = AT_RELAY, .first = s, .count = 1};

        if (!is_relay(&l->model->slots[s]))
            continue;
        l->heading = arena_printf(l->loaded->arena, "relay %s",
                                  l->model->slots[s].path);
        for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
            effect.kind = rows[i].kind;
            add_one(l, &effect, rows[i].note, USUAL_ANNEX_D);
        }
    }
}

static void programs(struct lister *l)
{
    uint32_t n = l->model->n_programs;
    struct effect *effects = arena_array(l->loaded->arena, n + 1,
                                         sizeof *effects);

    l->heading = "controller";
    for (uint32_t i = 0; i < n; i++) {
        effects[i] = (struct effect){.kind = FAULT_STOPS, .count = 1,
                                     .target = AT_PROGRAM, .first = i};
        add_one(l, &effects[i], "the program stops, its outputs stay",
                USUAL_ANNEX_D);
    }
    if (n > 1)
        add(l, (struct usual){.effects = effects, .n_effects = n,
                              .note = "the controller stops, all outputs stay",
                              .source = USUAL_ANNEX_D});
    all_actuators(l, FAULT_SHORT_TO_SUPPLY, "all outputs stuck on");
}

static void supplies(struct lister *l)
{
    const struct model *model = l->model;
    uint32_t n = 0;
    struct effect *effects = arena_array(
        l->loaded->arena, model->n_contacts + model->n_sensors + 1,
        sizeof *effects);

    l->heading = "supplies";
    all_actuators(l, FAULT_WIRE_OFF, "supply of the outputs lost");
    for (uint32_t i = 0; i < model->n_contacts; i++)
        if (!carries_a_value(model, i))
            effects[n++] = of_contacts(FAULT_WIRE_OFF, i, 1);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        effects[n++] = (struct effect){.kind = FAULT_WIRE_OFF, .count = 1,
                                       .target = AT_SENSOR, .first = i};
    if (n > 1)
        add(l, (struct usual){.effects = effects, .n_effects = n,
                              .note = "supply of the inputs lost",
                              .source = USUAL_ANNEX_D});
}

struct usual_list usual_faults(struct loaded *loaded)
{
    struct lister l = {.loaded = loaded, .model = loaded->model};
    struct usual *at;
    struct usual_list list;

    begun_mark(loaded);
    controls(&l);
    sensors(&l);
    neighbours(&l);
    actuators(&l);
    relays(&l);
    programs(&l);
    supplies(&l);
    at = arena_array(loaded->arena, l.all.n + 1, sizeof *at);
    if (l.all.n > 0)
        memcpy(at, l.all.at, l.all.n * sizeof *at);
    list = (struct usual_list){at, (uint32_t)l.all.n};
    vec_release(&l.all);
    return list;
}
