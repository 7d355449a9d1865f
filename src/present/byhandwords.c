#include "present/byhandwords.h"

#include <string.h>

#include "base/text.h"
#include "check/decision.h"
#include "check/model.h"
#include "present/quote.h"
#include "present/say.h"
#include "source/source.h"
#include "study/testsheet.h"

/* ---- what is done ---- */

void byhandwords_station(struct text *out, const struct testsheet *sheet,
                         const struct hand_step *step)
{
    const char *before = NULL;

    for (uint32_t i = 0; i < step->n_changes; i++) {
        const struct control *control =
            &sheet->model->controls[step->changes[i].control];
        const char *place = control->place != NULL ? control->place : "";

        if (before != NULL && strcmp(before, place) == 0)
            continue;
        text_printf(out, "%s%s", before != NULL ? " + " : "", place);
        before = place;
    }
}

static void say_bool(struct text *out, const struct control *control, bool on)
{
    const char *title = control->title;

    switch (control->kind) {
    case SIGNAL_STOP:
        text_printf(out, on ? "press %s%s" : "let %s out%s", title,
                    on && control->latching ? " until it latches" : "");
        return;
    case SIGNAL_SWITCH:
        text_printf(out, "switch %s %s", on ? "on" : "off", title);
        return;
    default:
        text_printf(out, on ? "hold %s%s" : "let go of %s%s", title,
                    on && control->latching ? " (it latches)" : "");
    }
}

static void say_change(struct text *out, const struct model *model,
                       const struct hand_change *change)
{
    const struct control *control = &model->controls[change->control];
    int64_t value = model->choices[control->choice].values[change->to];

    if (control->type->kind == TYPE_BOOL) {
        say_bool(out, control, value != 0);
        return;
    }
    text_printf(out, control->kind == SIGNAL_SELECTOR ? "turn %s to "
                                                      : "set %s to ",
                control->title);
    say_value(out, control->type, value);
}

void byhandwords_do(struct text *out, const struct testsheet *sheet,
                    const struct hand_step *step)
{
    for (uint32_t i = 0; i < step->n_changes; i++) {
        if (i > 0)
            text_add(out, " and ");
        say_change(out, sheet->model, &step->changes[i]);
    }
    if (step->n_changes == 2)
        text_printf(out, ", together (within %u.%u s)", HAND_APART_MS / 1000,
                    HAND_APART_MS % 1000 / 100);
}

static void say_where(struct text *out, const struct model *model,
                      uint32_t movement, int64_t value)
{
    uint32_t slot = model->movements[movement].slot;

    text_printf(out, "%s = ", model->slots[slot].path);
    say_value(out, model->slots[slot].type, value);
}

void byhandwords_wait(struct text *out, const struct testsheet *sheet,
                      const struct hand_step *step)
{
    if (step->seconds > 0) {
        text_printf(out, "wait at least %u s, then look", step->seconds);
        return;
    }
    text_add(out, "wait until ");
    say_where(out, sheet->model, step->movement, step->seen);
    text_printf(out, " is seen, look at once, and go on within %u.%u s",
                HAND_REACTION_MS / 1000, HAND_REACTION_MS % 1000 / 100);
}

/* ---- what is seen ---- */

static bool is_bool(const struct actuator *actuator)
{
    return actuator->type->kind == TYPE_BOOL;
}

/* One line: the actuators that are to be on, or off. */
static void say_those(struct text *out, const struct testsheet *sheet,
                      const struct hand_step *step, bool on)
{
    const char *between = on ? "ON: " : "OFF: ";

    for (uint32_t i = 0; i < sheet->model->n_actuators; i++) {
        const struct actuator *actuator = &sheet->model->actuators[i];
        const struct hand_expected *what = &step->expected[i];

        if (!is_bool(actuator) || !what->sure || (what->value != 0) != on)
            continue;
        text_printf(out, "%s%s", between, actuator->title);
        between = ", ";
    }
    if (between[0] == ',')
        text_add(out, "\n");
}

static void say_values(struct text *out, const struct testsheet *sheet,
                       const struct hand_step *step)
{
    for (uint32_t i = 0; i < sheet->model->n_actuators; i++) {
        const struct actuator *actuator = &sheet->model->actuators[i];

        if (is_bool(actuator) || !step->expected[i].sure)
            continue;
        text_printf(out, "%s: ", actuator->title);
        say_value(out, actuator->type, step->expected[i].value);
        text_add(out, "\n");
    }
}

static void say_open(struct text *out, const struct testsheet *sheet,
                     const struct hand_step *step)
{
    const char *between = "not judged: ";

    for (uint32_t i = 0; i < sheet->model->n_actuators; i++) {
        if (step->expected[i].sure)
            continue;
        text_printf(out, "%s%s", between, sheet->model->actuators[i].title);
        between = ", ";
    }
    if (between[0] == ',')
        text_add(out, "\n");
}

/* Are all off, of those that are judged and not on? */
static bool rest_is_off(const struct testsheet *sheet,
                        const struct hand_step *step, bool *any_on)
{
    *any_on = false;
    for (uint32_t i = 0; i < sheet->model->n_actuators; i++) {
        if (!is_bool(&sheet->model->actuators[i]))
            return false;
        *any_on = *any_on || !step->expected[i].sure ||
                  step->expected[i].value != 0;
    }
    return true;
}

void byhandwords_expected(struct text *out, const struct testsheet *sheet,
                          const struct hand_step *step)
{
    bool any_on;

    say_those(out, sheet, step, true);
    say_open(out, sheet, step);
    if (rest_is_off(sheet, step, &any_on))
        text_add(out, any_on ? "OFF: all others\n" : "OFF: all\n");
    else
        say_those(out, sheet, step, false);
    say_values(out, sheet, step);
}

/* ---- what it is for ---- */

static bool is_named_before(const struct testsheet *sheet,
                            const struct hand_step *step, uint32_t i)
{
    const struct obligation *all = sheet->obligations.at;

    return i > 0 &&
           all[step->reached[i - 1]].kind == all[step->reached[i]].kind &&
           all[step->reached[i - 1]].index == all[step->reached[i]].index;
}

/* Does it reach nothing that is named but vectors of decisions? */
static bool is_for_pairs(const struct testsheet *sheet,
                         const struct hand_step *step)
{
    for (uint32_t i = 0; i < step->n_reached; i++) {
        enum obligation_kind kind =
            sheet->obligations.at[step->reached[i]].kind;

        if (kind == OBLIGATION_TRIGGER || kind == OBLIGATION_BRANCH)
            return false;
    }
    return true;
}

void byhandwords_reached(struct text *out, const struct testsheet *sheet,
                         const struct sources *sources,
                         const struct hand_step *step)
{
    const char *line = "l.";
    bool pairs_only = is_for_pairs(sheet, step);

    for (uint32_t i = 0; i < step->n_reached; i++) {
        const struct obligation *what =
            &sheet->obligations.at[step->reached[i]];
        const struct model *model = sheet->model;

        if (is_named_before(sheet, step, i) ||
            (what->kind == OBLIGATION_VECTOR && !pairs_only) ||
            what->kind == OBLIGATION_EFFECT)
            continue;
        text_add(out, i > 0 ? " " : "");
        if (what->kind == OBLIGATION_TRIGGER) {
            text_add(out, model->requirements[what->index].name->spelling);
            continue;
        }
        text_printf(out, "%s%u", line,
                    sources_place(sources, what->kind == OBLIGATION_VECTOR
                                      ? model->decisions->at[what->index]
                                            .expr->span
                                      : model->branches[what->index].span)
                        .line);
        line = "";
    }
}

void byhandwords_stands(struct text *out, const struct testsheet *sheet,
                        const struct hand_sequence *sequence)
{
    if (sequence->n_places == 0)
        text_add(out, "wherever it stands");
    for (uint32_t i = 0; i < sequence->n_places; i++) {
        text_add(out, i == 0 ? "" : ", ");
        say_where(out, sheet->model, sequence->places[i].movement,
                  sequence->places[i].at);
    }
}

void byhandwords_obligation(struct text *out, const struct testsheet *sheet,
                            const struct sources *sources, uint32_t number)
{
    const struct obligation *what = &sheet->obligations.at[number];
    const struct model *model = sheet->model;

    if (what->kind == OBLIGATION_BRANCH) {
        text_add(out, "branch: ");
        quote_place(out, sources, model->branches[what->index].span);
        return;
    }
    text_printf(out, "%s: %s",
                model->requirements[what->index].name->spelling,
                model->requirements[what->index].triggers[what->part].words);
}
