#include "present/conditions.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/amount.h"
#include "present/causewords.h"
#include "present/openwords.h"
#include "present/say.h"
#include "present/settings.h"
#include "present/unfaulted.h"
#include "study/findings.h"

/* A list that is begun by its heading at the first entry. */
struct list {
    struct text *out;
    const char *heading;
    uint32_t n;
};

static void entry(struct list *list, const char *name)
{
    if (list->n++ == 0)
        text_printf(list->out, "  %s: %s", list->heading, name);
    else
        text_printf(list->out, ", %s", name);
}

static void end_list(struct list *list)
{
    if (list->n > 0)
        text_add(list->out, "\n");
}

static void add_choices(struct text *out, const struct model *model,
                        enum choice_kind kind, const char *heading)
{
    struct list list = {.out = out, .heading = heading};

    for (uint32_t i = 0; i < model->n_choices; i++)
        if (model->choices[i].kind == kind)
            entry(&list, model->choices[i].name);
    end_list(&list);
}

static void add_sensors(struct text *out, const struct model *model)
{
    struct list list = {.out = out, .heading = "from the machine, by sensors"};

    for (uint32_t i = 0; i < model->n_sensors; i++)
        entry(&list, model->sensors[i].name->spelling);
    end_list(&list);
}

static void add_confirmation(struct text *out, const char *because,
                             const char *confirmed_by)
{
    if (because != NULL)
        text_printf(out, ", because %s", because);
    if (confirmed_by != NULL)
        text_printf(out, ", confirmed by %s\n", confirmed_by);
    else
        text_add(out, ", not confirmed by anybody\n");
}

static void add_fixed(struct text *out, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_fixed; i++) {
        const struct fixed *fixed = &model->fixed[i];
        const struct slot *slot = &model->slots[fixed->slot];

        if (fixed->constant)
            continue;
        text_printf(out, "  fixed: %s := ", slot->path);
        say_value(out, slot->type, slot->initial);
        add_confirmation(out, fixed->because, fixed->confirmed_by);
    }
}

bool conditions_held(const struct model *model)
{
    for (uint32_t i = 0; i < model->n_fixed; i++)
        if (model->fixed[i].held)
            return true;
    return false;
}

static void add_reals(struct text *out, const struct model *model)
{
    if (model->computes_reals)
        text_add(out, "  not looked for: run-time errors in what is computed "
                      "with REALs, such as a division by 0.0\n");
}

static void add_initial(struct text *out, const struct model *model)
{
    for (uint32_t s = 0; s < model->n_slots; s++) {
        const struct slot *slot = &model->slots[s];

        if (slot->home != SLOT_MACHINE || slot->start != MODEL_NONE ||
            slot->temp || strchr(slot->path, '.') != NULL)
            continue;
        text_printf(out, "  at power-up: %s is ", slot->path);
        say_value(out, slot->type, slot->initial);
        text_add(out, "\n");
    }
}

static void add_proposals(struct text *out, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];
        const struct slot *slot;

        if (choice->kind != CHOICE_INPUT)
            continue;
        slot = &model->slots[choice->of];
        if (slot->input || slot->initial == slot->type->initial)
            continue;
        text_printf(out, "  '%s' is read but written by no text; if it never "
                         "changes, write: FIXED %s := ",
                    slot->path, slot->path);
        say_value(out, slot->type, slot->initial);
        text_add(out, " BECAUSE '';\n");
    }
}

static void add_assumptions(struct text *out, const struct view *view)
{
    const struct model *model = view->findings->model;
    bool named = false;

    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        const struct assumption *assumption = &model->assumptions[a];

        if (assumption->name == NULL)
            continue;
        text_printf(out, "  %s %s", assumption->name->spelling,
                    assumption->title);
        if (view->findings->assumption_idle[a])
            text_add(out, " (idle: nothing that was asked reads it)");
        else if (view->findings->assumption_unneeded[a])
            text_add(out, " (idle: nothing that was asked needs it)");
        add_confirmation(out, assumption->because, assumption->confirmed_by);
        named = true;
    }
    if (named && view->findings->quick)
        text_add(out, "  which of these assumptions are needed was not looked "
                      "for (--quick)\n");
}

static void add_power(struct text *out, const struct model *model)
{
    if (model->retain_any)
        text_add(out, "  what RETAIN keeps may have any value when power "
                      "comes for the first time\n");
    if (model->power_may_fail) {
        text_add(out, "  power may go between any two scans and return "
                      "later\n");
        return;
    }
    if (!model->has_retain && model->power_because == NULL)
        return;
    text_add(out, "  power stays on");
    add_confirmation(out, model->power_because, model->power_confirmed_by);
}

static void add_scan(struct text *out, const struct model *model)
{
    text_add(out, "  one scan every ");
    amount_span(out, pace_shortest(model), model->scan);
    if (model->scan_assumed)
        text_add(out, " (assumed: no review text says otherwise)");
    if (pace_row(model) != MODEL_NONE) {
        text_add(out, ", each of any time in steps of ");
        amount_seconds(out, pace_step(model));
    }
    text_add(out, "; what happens between two samplings is not "
                  "represented\n");
}

static void add_runs(struct text *out, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_programs; i++) {
        const struct program *program = &model->programs[i];

        if (program->every > 1)
            text_printf(out, "  %s runs every %u scans, first in the scan "
                             "in which power comes\n",
                        program->name->spelling, program->every);
    }
    for (uint32_t i = 0; i < model->n_called; i++)
        text_printf(out, "  %s runs where another program calls it\n",
                    model->programs[model->n_programs + i]
                        .name->spelling);
}

void conditions_add(struct text *out, const struct view *view)
{
    const struct model *model = view->findings->model;

    text_add(out, "Under these conditions\n");
    add_scan(out, model);
    add_runs(out, model);
    add_power(out, model);
    settings_add(out, model);
    add_choices(out, model, CHOICE_OPERATOR, "operated by people, free");
    add_sensors(out, model);
    add_choices(out, model, CHOICE_INPUT, "not described, free");
    add_choices(out, model, CHOICE_SHARED, "written by others, free");
    openwords_list(out, view->findings, view->sources);
    add_reals(out, model);
    add_fixed(out, model);
    add_initial(out, model);
    add_proposals(out, model);
    causewords_conditions(out, model);
    if (model->n_causes > 0)
        unfaulted_add(out, model, "  ");
    add_assumptions(out, view);
}
