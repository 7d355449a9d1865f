#include "present/lessondata.h"

#include <inttypes.h>
#include <stdbool.h>

#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "logic/flatdata.h"
#include "present/colourwords.h"
#include "present/json.h"
#include "present/lessonnames.h"
#include "present/lessonreasons.h"
#include "present/quote.h"
#include "present/say.h"
#include "present/signalwords.h"
#include "reference/replay.h"
#include "study/findings.h"
#include "study/lesson.h"
#include "study/load.h"
#include "study/outing.h"

static void begin_list(struct text *out, const char *key)
{
    text_printf(out, ",\n\"%s\":[", key);
}

/* Before a member of a list of which `n` were written. */
static void separate(struct text *out, uint32_t n)
{
    if (n > 0)
        text_add(out, ",\n");
}

static void add_value(struct text *out, int64_t value)
{
    const int64_t exact = (int64_t)1 << 53;

    text_printf(out, value > exact || value < -exact ? "\"%" PRId64 "\""
                                                     : "%" PRId64, value);
}

/* Words for each value of a row that are neither two nor items. */
static void add_labels(struct text *out, const struct choice *choice)
{
    struct text label = {0};

    if (choice->type->kind == TYPE_BOOL || choice->type->kind == TYPE_ENUM)
        return;
    text_add(out, ",\"labels\":[");
    for (uint32_t i = 0; i < choice->count; i++) {
        text_clear(&label);
        say_choice(&label, choice, i);
        separate(out, i);
        json_string(out, text_str(&label));
    }
    text_add(out, "]");
    text_release(&label);
}

/* ---- controls, outputs, positions ---- */

static void add_colour(struct text *out, enum colour colour)
{
    if (colour != COLOUR_NONE)
        json_member(out, "colour", colourwords_name(colour));
}

static void add_controls(struct text *out, const struct model *model)
{
    begin_list(out, "controls");
    for (uint32_t i = 0; i < model->n_controls; i++) {
        const struct control *control = &model->controls[i];

        separate(out, i);
        text_printf(out, "{\"row\":%u,\"latching\":%s,\"kind\":\"%s\"",
                    control->choice, control->latching ? "true" : "false",
                    signalwords_kind(control->kind));
        add_colour(out, control->colour);
        json_member(out, "title", control->title);
        json_member(out, "place", control->place);
        json_member(out, "sees", control->sees);
        text_add(out, ",\"type\":");
        lessonnames_type(out, control->type);
        add_labels(out, &model->choices[control->choice]);
        text_add(out, "}");
    }
    text_add(out, "]");
}

static void add_actuators(struct text *out,
                          const struct lesson_machine *machine)
{
    const struct model *model = machine->logic->model;

    begin_list(out, "actuators");
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *actuator = &model->actuators[i];

        separate(out, i);
        text_printf(out, "{\"value\":%u,\"kind\":\"%s\"",
                    lessonnames_slot(machine->logic, actuator->slot),
                    signalwords_kind(actuator->kind));
        add_colour(out, actuator->colour);
        json_member(out, "name", actuator->name->spelling);
        json_member(out, "title", actuator->title);
        json_member(out, "place", actuator->place);
        text_add(out, ",\"type\":");
        lessonnames_type(out, actuator->type);
        text_add(out, "}");
    }
    text_add(out, "]");
}

static void add_positions(struct text *out,
                          const struct lesson_machine *machine)
{
    const struct model *model = machine->logic->model;
    uint32_t n = 0;

    begin_list(out, "positions");
    for (uint32_t s = 0; s < model->n_slots; s++) {
        const struct slot *slot = &model->slots[s];

        if (slot->home != SLOT_MACHINE || slot->temp || slot->clock ||
            name_point(slot->path) != NULL)
            continue;
        separate(out, n++);
        text_printf(out, "{\"value\":%u,\"start\":%d",
                    lessonnames_slot(machine->logic, s),
                    slot->start == MODEL_NONE ? -1 : (int)slot->start);
        json_member(out, "text", slot->path);
        text_add(out, ",\"type\":");
        lessonnames_type(out, slot->type);
        text_add(out, "}");
    }
    text_add(out, "]");
}

static void add_moves(struct text *out, const struct model *model)
{
    uint32_t n = 0;

    begin_list(out, "moves");
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];

        if (choice->kind != CHOICE_MACHINE)
            continue;
        separate(out, n++);
        text_printf(out, "{\"row\":%u,\"auto\":%s", i,
                    choice->of == MODEL_NONE ? "false" : "true");
        json_member(out, "text", choice->of == MODEL_NONE
                                     ? choice->name
                                     : model->slots[choice->of].path);
        text_add(out, "}");
    }
    text_add(out, "]");
}

static void add_inputs(struct text *out, const struct model *model)
{
    uint32_t n = 0;

    begin_list(out, "inputs");
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];

        if (choice->kind != CHOICE_INPUT && choice->kind != CHOICE_SHARED &&
            choice->kind != CHOICE_UNCOMMANDED)
            continue;
        separate(out, n++);
        text_printf(out, "{\"row\":%u", i);
        json_member(out, "title", choice->name);
        text_add(out, ",\"type\":");
        lessonnames_type(out, choice->type);
        add_labels(out, choice);
        text_add(out, "}");
    }
    text_add(out, "]");
}

/* ---- faults ---- */

/* The cell of the slice that stores a cell of the flat logic, or -1. */
static int cell_of(const struct lesson_logic *logic, uint32_t cell)
{
    for (uint32_t i = 0; i < logic->slice->n_cells; i++)
        if (logic->slice->cells[i].cell == cell)
            return (int)i;
    return -1;
}

static void add_numbers(struct text *out, const char *key,
                        const uint32_t *at, uint32_t n)
{
    text_printf(out, ",\"%s\":[", key);
    for (uint32_t i = 0; i < n; i++)
        text_printf(out, i > 0 ? ",%u" : "%u", at[i]);
    text_add(out, "]");
}

static void add_fault(struct text *out, const struct lesson_logic *logic,
                      uint32_t number)
{
    const struct fault *fault = &logic->model->faults[number];
    const struct flat_fault *flat = &logic->lowered->flat->faults[number];
    const struct flat_cause *causes = logic->lowered->flat->causes;

    text_printf(out, "{\"row\":%u,\"cell\":%d,\"cause\":%u,\"goes\":%s,"
                "\"from_power_up\":%s",
                fault->choice,
                cell_of(logic, flat->cell != FLAT_NONE
                                   ? flat->cell
                                   : causes[fault->cause].cell),
                fault->cause,
                fault->timing == TIMING_INTERMITTENT ? "true" : "false",
                fault->timing == TIMING_FROM_POWER_UP ? "true" : "false");
    json_member(out, "name", fault->name->spelling);
    json_member(out, "title", fault->title);
    add_numbers(out, "causes", fault->causes, fault->n_causes);
    text_add(out, "}");
}

static void add_faults(struct text *out, const struct lesson_logic *logic)
{
    const struct model *model = logic->model;
    uint32_t n = 0;

    begin_list(out, "faults");
    for (uint32_t i = 0; i < model->n_faults; i++) {
        if (model->faults[i].excluded)
            continue;
        separate(out, n++);
        add_fault(out, logic, i);
    }
    text_add(out, "]");
    begin_list(out, "causes");
    for (uint32_t i = 0; i < model->n_causes; i++)
        text_printf(out, "%s{\"row\":%u,\"cell\":%d,\"first_only\":%s}",
                    i > 0 ? "," : "", model->causes[i].choice,
                    cell_of(logic, logic->lowered->flat->causes[i].cell),
                    model->causes[i].first_only ? "true" : "false");
    text_add(out, "]");
}

/* ---- what is judged ---- */

static void add_requirement(struct text *out, const struct model *model,
                            uint32_t number)
{
    const struct requirement *asked = &model->requirements[number];
    uint32_t n = 0;

    text_printf(out, "{\"judged\":%s,\"despite\":%u",
                asked->form < FORM_POSSIBLE ? "true" : "false",
                asked->despite);
    json_member(out, "name", asked->name->spelling);
    json_member(out, "title", asked->title);
    text_add(out, ",\"of\":[");
    for (uint32_t c = 0; c < model->n_causes; c++)
        if (asked->despite_of[c])
            text_printf(out, n++ > 0 ? ",%u" : "%u", c);
    text_add(out, "]}");
}

static void add_judged(struct text *out, const struct lesson_machine *machine)
{
    const struct model *model = machine->logic->model;
    const struct lesson_logic *logic = machine->logic;
    struct text place = {0};

    begin_list(out, "requirements");
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        separate(out, i);
        add_requirement(out, model, i);
    }
    text_add(out, "]");
    begin_list(out, "assumptions");
    for (uint32_t i = 0; i < model->n_assumptions; i++) {
        separate(out, i);
        json_string(out, model->assumptions[i].title);
    }
    text_add(out, "]");
    begin_list(out, "errors");
    for (uint32_t i = 0; i < logic->n_errors; i++) {
        uint32_t watch =
            logic->slice->watches[model->n_requirements + i].number;
        uint32_t site = logic->lowered->flat->watches[watch].index;

        text_clear(&place);
        quote_place(&place, machine->loaded->sources,
                    model->errors[site].span);
        separate(out, i);
        json_string(out, text_str(&place));
    }
    text_add(out, "]");
    text_release(&place);
}

/* ---- the whole ---- */

static void add_rest(struct text *out, const struct lesson_machine *machine)
{
    const struct outing *outing = machine->outing;
    int power = -1;

    begin_list(out, "rest");
    for (uint32_t i = 0; i < outing->model.n_choices; i++) {
        text_add(out, i > 0 ? "," : "");
        add_value(out, lesson_value(machine->logic, &outing->model, i,
                                    outing->set[i]));
        if (outing->model.choices[i].kind == CHOICE_POWER)
            power = (int)i;
    }
    text_printf(out, "],\n\"power_row\":%d", power);
}

void lessondata_machine(struct text *out, const struct lesson_machine *machine)
{
    const struct model *model = machine->logic->model;
    uint32_t pace = pace_row(model);

    text_printf(out, "{\"scan\":%" PRId64 ",\"time_row\":%d", model->scan,
                pace == MODEL_NONE ? -1 : (int)pace);
    json_member(out, "title", machine->title);
    add_controls(out, model);
    add_actuators(out, machine);
    add_positions(out, machine);
    add_moves(out, model);
    add_inputs(out, model);
    add_faults(out, machine->logic);
    add_judged(out, machine);
    add_rest(out, machine);
    lessonnames_add(out, machine->logic);
    lessonreasons_add(out, machine);
    text_add(out, ",\n\"logic\":");
    flatdata_add(out, machine->logic->slice);
    text_add(out, "}");
}

void lessondata_story(struct text *out, const struct lesson_machine *machine,
                      const struct lesson_story *story, const char *id)
{
    const struct model *model = story->findings->model;
    const struct replay *replay = story->replay;

    text_printf(out, "{\"machine\":%u", story->machine);
    json_member(out, "id", id);
    json_member(out, "title", story->title);
    begin_list(out, "scans");
    for (uint32_t scan = 0; scan < replay->n_scans; scan++) {
        uint32_t n = 0;

        text_add(out, scan > 0 ? ",[" : "[");
        for (uint32_t row = 0; row < model->n_choices; row++) {
            uint32_t now = replay->scans[scan].choices[row];

            if (now == (scan > 0 ? replay->scans[scan - 1].choices[row]
                                 : machine->outing->set[row]))
                continue;
            text_printf(out, n++ > 0 ? ",%u," : "%u,", row);
            add_value(out, lesson_value(machine->logic, model, row, now));
        }
        text_add(out, "]");
    }
    text_add(out, "]}");
}
