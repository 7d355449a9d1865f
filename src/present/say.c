#include "present/say.h"

#include <inttypes.h>
#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "check/real.h"
#include "present/amount.h"
#include "present/causewords.h"
#include "reference/replay.h"
#include "study/findings.h"

/* A scan of a replay, and the one before it. */
struct moment {
    const struct model *model;
    const struct machine *machine;
    const struct replay_scan *now, *before; /* before NULL: first scan */
};

static struct moment moment_of(const struct findings *findings,
                               const struct replay *replay, uint32_t scan)
{
    return (struct moment){
        .model = findings->model,
        .machine = findings->machine,
        .now = &replay->scans[scan],
        .before = scan == 0 ? NULL : &replay->scans[scan - 1],
    };
}

void say_real(struct text *out, const struct type *type, int64_t low,
              int64_t high)
{
    struct arena *arena = arena_new();

    text_add(out, real_words(arena, type, low, high));
    arena_free(arena);
}

void say_value(struct text *out, const struct type *type, int64_t value)
{
    switch (type->kind) {
    case TYPE_BOOL:
        text_add(out, value != 0 ? "TRUE" : "FALSE");
        return;
    case TYPE_TIME:
        text_printf(out, "T#%" PRId64 "ms", value);
        return;
    case TYPE_ENUM:
        if (value >= 0 && value < (int64_t)type->count) {
            text_add(out, type->items[value]->spelling);
            return;
        }
        break;
    case TYPE_BITS:
        text_printf(out, "16#%" PRIX64, value);
        return;
    case TYPE_REAL:
        say_real(out, type, value, value);
        return;
    case TYPE_OPAQUE:
        text_add(out, "something");
        return;
    case TYPE_INTEGER: case TYPE_ARRAY: case TYPE_STRUCT: case TYPE_BLOCK:
        break;
    }
    text_printf(out, "%" PRId64, value);
}

void say_choice(struct text *out, const struct choice *choice,
                uint32_t index)
{
    if (choice->type->kind == TYPE_REAL && choice->cell_low != NULL) {
        say_real(out, choice->type, choice->cell_low[index],
                 choice->cell_high[index]);
        return;
    }
    say_value(out, choice->type, choice->values[index]);
    if (choice->cell_low == NULL ||
        choice->cell_low[index] == choice->cell_high[index])
        return;
    text_add(out, " (any of ");
    say_value(out, choice->type, choice->cell_low[index]);
    text_add(out, " .. ");
    say_value(out, choice->type, choice->cell_high[index]);
    text_add(out, ")");
}

static void say_button(struct text *out, const struct control *control,
                       bool pressed, bool first)
{
    bool rocker = control->kind == SIGNAL_SWITCH;

    if (pressed)
        text_printf(out, "%s %s%s%s\n", rocker ? "switch on" : "hold",
                    control->title,
                    control->latching ? " (it latches)" : "",
                    first ? ", already at power-up" : "");
    else
        text_printf(out, "%s %s\n", rocker ? "switch off" : "release",
                    control->title);
}

static void say_control(struct text *out, const struct moment *moment,
                        const struct choice *choice, uint32_t index)
{
    const struct control *control = &moment->model->controls[choice->of];

    if (control->type->kind == TYPE_BOOL) {
        say_button(out, control, choice->values[index] != 0,
                   moment->before == NULL);
        return;
    }
    text_printf(out, control->kind == SIGNAL_SELECTOR ? "%s at "
                                                      : "%s reads ",
                control->title);
    say_choice(out, choice, index);
    text_add(out, "\n");
}

static void say_free(struct text *out, const struct moment *moment,
                     const struct choice *choice, uint32_t index)
{
    if (choice->kind == CHOICE_OPERATOR) {
        say_control(out, moment, choice, index);
        return;
    }
    text_printf(out, choice->kind == CHOICE_SHARED ? "others write %s := "
                                                   : "%s is ",
                choice->name);
    say_choice(out, choice, index);
    text_add(out, "\n");
}

void say_operator(struct text *out, const struct findings *findings,
                  const struct replay *replay, uint32_t scan)
{
    struct moment moment = moment_of(findings, replay, scan);

    for (uint32_t i = 0; i < moment.model->n_choices; i++) {
        const struct choice *choice = &moment.model->choices[i];
        uint32_t was = moment.before == NULL ? choice->rest
                                             : moment.before->choices[i];

        if (choice->kind < CHOICE_OPERATOR ||
            choice->kind >= CHOICE_UNCOMMANDED ||
            moment.now->choices[i] == was)
            continue;
        say_free(out, &moment, choice, moment.now->choices[i]);
    }
}

static int64_t slot_value(const struct moment *moment,
                          const struct replay_scan *scan, uint32_t slot)
{
    const struct place_id place = {PLACE_SLOT, slot};

    return machine_place(moment->machine, scan->state, place, INT64_MAX);
}

static void say_power(struct text *out, const struct moment *moment)
{
    bool was_dark = moment->before != NULL && moment->before->dark;

    if (moment->before == NULL)
        text_add(out, "power comes\n");
    else if (moment->now->dark)
        text_add(out, was_dark ? "still no power\n" : "power goes\n");
    else if (was_dark)
        text_add(out, "power returns\n");
}

static void say_faults(struct text *out, const struct moment *moment)
{
    for (uint32_t f = 0; f < moment->model->n_faults; f++) {
        const struct place_id place = {PLACE_FAULT, f};
        int64_t now = machine_place(moment->machine, moment->now->state,
                                    place, INT64_MAX);
        int64_t before = moment->before == NULL
            ? 0 : machine_place(moment->machine, moment->before->state,
                                place, INT64_MAX);

        if (now != before)
            causewords_change(out, moment->model, f, now != 0);
    }
}

static const char *behind_dot(const char *path)
{
    const char *dot = name_point(path);

    return dot == NULL ? path : dot + 1;
}

/* The name without the program it stands in, unless another program, or
 * another instance of this one, has a variable of that name. */
static const char *short_path(const struct model *model, uint32_t slot)
{
    const char *path = model->slots[slot].path, *bare = behind_dot(path);

    for (uint32_t s = 0;
         model->n_programs + model->n_called > 1 && s < model->n_slots; s++)
        if (s != slot && model->slots[s].home == SLOT_PROGRAM &&
            strcmp(behind_dot(model->slots[s].path), bare) == 0)
            return path;
    return bare;
}

static void say_slot(struct text *out, const struct moment *moment,
                     uint32_t slot)
{
    const struct slot *what = &moment->model->slots[slot];
    int64_t now = slot_value(moment, moment->now, slot);

    if (name_point(what->path) != NULL || what->temp ||
        (moment->before != NULL &&
         slot_value(moment, moment->before, slot) == now))
        return; /* inside a block, or as before */
    text_printf(out, "%s %s ", what->path,
                moment->before == NULL ? "is" : "becomes");
    say_value(out, what->type, now);
    text_add(out, "\n");
}

static void say_past(struct text *out, const struct moment *moment)
{
    for (uint32_t i = 0; i < moment->model->n_choices; i++) {
        const struct choice *choice = &moment->model->choices[i];

        if (choice->kind == CHOICE_PAST && moment->now->choices[i] != 0 &&
            moment->before == NULL)
            text_printf(out, "%s conducted before power-up\n", choice->name);
    }
}

/* What the controller does, where nobody knows. */
static void say_controller(struct text *out, const struct moment *moment)
{
    const struct model *model = moment->model;

    for (uint32_t i = 0; moment->before == NULL && i < model->n_choices;
         i++) {
        const struct choice *choice = &model->choices[i];

        if (choice->kind == CHOICE_START &&
            model->slots[choice->of].home == SLOT_SETTING)
            text_printf(out, "on a controller where %s\n",
                        setting_says(setting_of_slot(model->settings,
                                                     choice->of),
                                     moment->now->choices[i]));
    }
}

/* RETAIN ANY: what a variable still held when power came. */
static void say_kept(struct text *out, const struct moment *moment)
{
    for (uint32_t i = 0; i < moment->model->n_choices; i++) {
        const struct choice *choice = &moment->model->choices[i];

        if (choice->kind != CHOICE_START || moment->before != NULL ||
            moment->model->slots[choice->of].home == SLOT_MACHINE ||
            moment->model->slots[choice->of].home == SLOT_SETTING)
            continue;
        text_printf(out, "%s was kept as ", choice->name);
        say_value(out, choice->type,
                  choice->values[moment->now->choices[i]]);
        text_add(out, "\n");
    }
}

/* An actuator that took another value, and not the one that the program asks
 * for. */
static void say_uncommanded(struct text *out, const struct moment *moment,
                            uint32_t index)
{
    const struct actuator *what = &moment->model->actuators[index];
    int64_t now = slot_value(moment, moment->now, what->slot);
    int64_t was = moment->before == NULL
                      ? 0 : slot_value(moment, moment->before, what->slot);

    if (what->uncommanded == MODEL_NONE ||
        !moment->now->read[what->uncommanded] || now == was ||
        now == moment->now->command[index])
        return;
    text_printf(out, "%s ", what->title);
    if (what->type->kind == TYPE_BOOL) {
        text_add(out, now != 0 ? "comes on" : "goes off");
    } else {
        text_add(out, "becomes ");
        say_value(out, what->type, now);
    }
    text_add(out, " without command\n");
}

void say_machine(struct text *out, const struct findings *findings,
                 const struct replay *replay, uint32_t scan)
{
    struct moment moment = moment_of(findings, replay, scan);

    say_power(out, &moment);
    say_faults(out, &moment);
    say_controller(out, &moment);
    say_past(out, &moment);
    say_kept(out, &moment);
    for (uint32_t a = 0; a < moment.model->n_actuators; a++)
        say_uncommanded(out, &moment, a);
    for (uint32_t s = 0; s < moment.model->n_slots; s++)
        if (moment.model->slots[s].home == SLOT_MACHINE)
            say_slot(out, &moment, s);
}

static void say_actuator(struct text *out, const struct moment *moment,
                         const struct actuator *actuator)
{
    int64_t now = slot_value(moment, moment->now, actuator->slot);
    int64_t before = moment->before == NULL
                         ? 0 : slot_value(moment, moment->before,
                                          actuator->slot);

    if (now == before)
        return;
    if (actuator->type->kind == TYPE_BOOL) {
        text_printf(out, "%s: %s\n", now != 0 ? "on" : "off",
                    actuator->title);
        return;
    }
    text_printf(out, "%s: ", actuator->title);
    say_value(out, actuator->type, now);
    text_add(out, "\n");
}

/* Without a machine: what the programs' own variables do. */
static void say_variables(struct text *out, const struct moment *moment)
{
    for (uint32_t s = 0; s < moment->model->n_slots; s++) {
        const struct slot *slot = &moment->model->slots[s];
        int64_t was = moment->before == NULL
                          ? slot->initial
                          : slot_value(moment, moment->before, s);

        if (slot->home > SLOT_GLOBAL || slot->temp || slot->clock ||
            slot->driver == DRIVER_CHOICE ||
            slot_value(moment, moment->now, s) == was)
            continue;
        text_printf(out, "%s ", short_path(moment->model, s));
        say_value(out, slot->type, slot_value(moment, moment->now, s));
        text_add(out, "\n");
    }
}

void say_outcome(struct text *out, const struct model *model, uint32_t row,
                 int64_t value)
{
    static const char *const orders[] = {"comes out 'less'",
                                         "comes out 'equal'",
                                         "comes out 'greater'"};
    const struct choice *choice = &model->choices[row];
    enum open_kind kind = model->open_places[choice->of].kind;

    if (kind == OPEN_PICK) {
        text_printf(out, "is its input %d", (int)value + 2);
        return;
    }
    if (kind == OPEN_ORDER) {
        text_add(out, orders[value + 1]);
        return;
    }
    text_add(out, kind == OPEN_VALUE ? "is " : "comes out ");
    for (uint32_t i = 0; i < choice->count; i++)
        if (choice->values[i] == value)
            say_choice(out, choice, i);
}

/* An open place is asked anew in each scan in which it is read. */
static void say_open(struct text *out, const struct moment *moment)
{
    for (uint32_t i = 0; i < moment->model->n_choices; i++) {
        const struct choice *choice = &moment->model->choices[i];
        uint32_t now = moment->now->choices[i];
        uint32_t was = moment->before == NULL ? choice->rest
                                              : moment->before->choices[i];

        if (choice->kind != CHOICE_ANY || now == was ||
            !moment->now->read[i])
            continue;
        text_printf(out, "%s ", choice->name);
        say_outcome(out, moment->model, i, choice->values[now]);
        text_add(out, "\n");
    }
}

void say_outputs(struct text *out, const struct findings *findings,
                 const struct replay *replay, uint32_t scan)
{
    struct moment moment = moment_of(findings, replay, scan);

    say_open(out, &moment);
    for (uint32_t a = 0; a < moment.model->n_actuators; a++)
        say_actuator(out, &moment, &moment.model->actuators[a]);
    if (moment.model->n_actuators == 0)
        say_variables(out, &moment);
}
