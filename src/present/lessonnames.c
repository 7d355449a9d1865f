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
        text_add(out, type->kind == TYPE_TIME     ? "\"time\""
                      : type_base(type)->kind >= TYPE_REAL ? "\"cell\""
                                                  : "\"number\"");
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

/* One entry; kind says how a BOOL is told: on, true, power. */
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

static void name_slots(struct writer *w, bool machine)
{
    for (uint32_t s = 0; s < w->model->n_slots; s++) {
        const struct slot *slot = &w->model->slots[s];

        if (slot->temp || slot->clock || slot->home == SLOT_FUNCTION ||
            slot->home == SLOT_SETTING || slot->home == SLOT_ACTUATOR ||
            (slot->home == SLOT_MACHINE) != machine)
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

void lessonnames_add(struct text *out, const struct lesson_logic *logic)
{
    struct writer w = {.out = out, .logic = logic, .model = logic->model};

    text_add(out, ",\n\"names\":[");
    name_values(&w);
    text_add(out, "]");
    text_release(&w.text);
}
