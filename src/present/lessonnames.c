#include "present/lessonnames.h"

#include <stdbool.h>

#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "present/json.h"
#include "present/naming.h"
#include "study/lesson.h"

/* A list of names that is being written; text: of the name at hand. */
struct writer {
    struct text *out;
    const struct lesson_logic *logic;
    const struct model *model;
    struct text text;
    uint32_t n;
};

void lessonnames_type(struct text *out, const struct type *type)
{
    if (type == NULL || type->kind == TYPE_BOOL) {
        text_add(out, "null");
        return;
    }
    if (type->kind != TYPE_ENUM) {
        text_add(out, type->kind == TYPE_TIME ? "\"time\"" : "\"number\"");
        return;
    }
    for (uint32_t i = 0; i < type->count; i++) {
        text_add(out, i == 0 ? "[" : ",");
        json_string(out, type->items[i]->spelling);
    }
    text_add(out, "]");
}

uint32_t lessonnames_slot(const struct lesson_logic *logic, uint32_t slot)
{
    const struct lowered *lowered = logic->lowered;

    return (uint32_t)(&lowered->slot_value[slot] - lowered->flat->value);
}

/* One entry; kind says how a BOOL is told: held, pressed, on, true, fault,
 * power. */
static void add(struct writer *w, const char *kind, const struct type *type)
{
    text_printf(w->out, "\"kind\":\"%s\"", kind);
    json_member(w->out, "text", text_str(&w->text));
    text_add(w->out, ",\"type\":");
    lessonnames_type(w->out, type);
    text_add(w->out, "}");
    text_clear(&w->text);
}

static void begin(struct writer *w)
{
    text_add(w->out, w->n++ > 0 ? ",\n{" : "{");
}

static void begin_value(struct writer *w, const flat_expr *at)
{
    begin(w);
    text_printf(w->out, "\"value\":%u,",
                (unsigned)(at - w->logic->lowered->flat->value));
}

/* ---- values ---- */

/* What an actuator is told is no thing of its own to those who look at the
 * machine: the condition goes on behind it. */
static bool is_command(const struct model *model, uint32_t slot)
{
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (model->actuators[i].command == slot)
            return true;
    return false;
}

static void name_slots(struct writer *w, bool machine)
{
    for (uint32_t s = 0; s < w->model->n_slots; s++) {
        const struct slot *slot = &w->model->slots[s];

        if (slot->temp || slot->clock || slot->home == SLOT_FUNCTION ||
            slot->home == SLOT_SETTING || slot->home == SLOT_ACTUATOR ||
            (slot->home == SLOT_MACHINE) != machine ||
            is_command(w->model, s))
            continue;
        begin_value(w, &w->logic->lowered->slot_value[s]);
        naming_slot(&w->text, w->model, s);
        add(w, "true", slot->type);
    }
}

/* The first name that a value gets stays: what can be seen comes first. */
static void name_values(struct writer *w)
{
    const struct lowered *lowered = w->logic->lowered;

    for (uint32_t i = 0; i < w->model->n_sensors; i++) {
        begin_value(w, &lowered->sensor[i]);
        text_add(&w->text, w->model->sensors[i].title);
        add(w, "on", NULL);
    }
    name_slots(w, true);
    for (uint32_t i = 0; i < w->model->n_actuators; i++) {
        begin_value(w, &lowered->slot_value[w->model->actuators[i].slot]);
        text_add(&w->text, w->model->actuators[i].title);
        add(w, "on", w->model->actuators[i].type);
    }
    begin_value(w, lowered->dark);
    add(w, "power", NULL);
    name_slots(w, false);
}

/* ---- what is remembered ---- */

static const char *control_kind(const struct control *control)
{
    return control->kind == SIGNAL_BUTTON ? "held"
           : control->kind == SIGNAL_STOP ? "pressed"
                                          : "on";
}

static void name_control(struct writer *w, uint32_t number)
{
    const struct control *control = &w->model->controls[number];

    text_add(&w->text, control->title);
    add(w, control_kind(control), control->type);
}

static void name_slot(struct writer *w, uint32_t number)
{
    const struct slot *slot = &w->model->slots[number];

    naming_slot(&w->text, w->model, number);
    add(w, "true", slot->type);
}

static void name_cell(struct writer *w, const struct flat_cell *cell)
{
    const struct model *model = w->model;

    text_add(w->out, "\"before\":true,");
    switch ((enum place_kind)cell->kind) {
    case PLACE_SLOT: name_slot(w, cell->index); return;
    case PLACE_HAND_LAST: name_control(w, cell->index); return;
    case PLACE_SENSOR_LAST:
        text_add(&w->text, model->sensors[cell->index].title);
        add(w, "on", NULL);
        return;
    case PLACE_FAULT:
        text_add(&w->text, model->faults[cell->index].title);
        add(w, "fault", NULL);
        return;
    case PLACE_CAUSE:
        text_add(&w->text, model->causes[cell->index].title);
        add(w, "fault", NULL);
        return;
    case PLACE_WAS_DARK: add(w, "power", NULL); return;
    default:
        text_add(&w->text, cell->name);
        if (cell->low == 0 && cell->high == 1)
            add(w, "true", NULL);
        else
            add(w, "true", &(const struct type){.kind = TYPE_INTEGER});
        return;
    }
}

static void name_row(struct writer *w, const struct choice *choice)
{
    switch (choice->kind) {
    case CHOICE_OPERATOR: name_control(w, choice->of); return;
    case CHOICE_POWER: add(w, "power", NULL); return;
    case CHOICE_FAULT:
        text_add(&w->text,
                 choice->of < w->model->n_causes
                     ? w->model->causes[choice->of].title
                     : w->model->faults[choice->of - w->model->n_causes]
                           .title);
        add(w, "fault", NULL);
        return;
    default:
        text_add(&w->text, choice->name == NULL ? "" : choice->name);
        add(w, "true", choice->type);
        return;
    }
}

void lessonnames_add(struct text *out, const struct lesson_logic *logic)
{
    struct writer w = {.out = out, .logic = logic, .model = logic->model};

    text_add(out, ",\n\"names\":[");
    name_values(&w);
    text_add(out, "],\n\"cells\":[");
    w.n = 0;
    for (uint32_t i = 0; i < logic->slice->n_cells; i++) {
        begin(&w);
        name_cell(&w,
                  &logic->lowered->flat->cells[logic->slice->cells[i].cell]);
    }
    text_add(out, "],\n\"rows\":[");
    w.n = 0;
    for (uint32_t i = 0; i < logic->model->n_choices; i++) {
        begin(&w);
        name_row(&w, &logic->model->choices[i]);
    }
    text_add(out, "]");
    text_release(&w.text);
}
