#include "present/script.h"

#include <inttypes.h>
#include <stdbool.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/pace.h"
#include "check/real.h"
#include "present/say.h"
#include "study/outing.h"

struct writer {
    struct text *out;
    const struct outing *outing;
    const struct model *model;
    uint32_t scan;
    int64_t owed; /* ms run since the last WAIT was written */
    int64_t pace; /* ms of the scans as written so far */
};

static const char step_indent[] = "    ";

static void write_wait(struct writer *w)
{
    if (w->owed > 0)
        text_printf(w->out, "%sWAIT T#%" PRId64 "ms;\n", step_indent,
                    w->owed);
    w->owed = 0;
}

/* Before each step that is not a WAIT. */
static void pay(struct writer *w)
{
    write_wait(w);
    text_add(w->out, step_indent);
}

static uint32_t index_at(const struct writer *w, uint32_t scan, uint32_t row)
{
    return w->outing->replay.scans[scan].choices[row];
}

static int64_t slot_at(const struct writer *w, uint32_t scan, uint32_t slot)
{
    return machine_place(w->outing->machine,
                         w->outing->replay.scans[scan].state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

/* START, for what has a choice where it begins. */
static void write_start(struct writer *w, uint32_t row)
{
    const struct choice *choice = &w->model->choices[row];
    uint32_t index = index_at(w, 0, row);
    bool machine = choice->kind == CHOICE_START &&
                   w->model->slots[choice->of].home == SLOT_MACHINE;

    if (w->scan > 0 || (index == 0 && !machine))
        return;
    if (choice->kind == CHOICE_START &&
        w->model->slots[choice->of].home == SLOT_SETTING) {
        text_printf(w->out, "%s(* write in CONTROLLER what holds here: %s "
                            "*)\n", step_indent,
                    setting_says(setting_of_slot(w->model->settings,
                                                 choice->of), index));
        return;
    }
    pay(w);
    text_printf(w->out, "START %s AT ", choice->name);
    say_value(w->out, choice->type, choice->values[index]);
    text_add(w->out, ";\n");
}

/* Any number of the cell does; not-a-number cannot be written. */
static void write_real(struct writer *w, const struct choice *choice,
                       uint32_t now)
{
    struct arena *arena = arena_new();
    int64_t low = choice->values[now], high = low;
    const char *number;

    if (choice->cell_low != NULL) {
        low = choice->cell_low[now];
        high = choice->cell_high[now];
    }
    number = real_example(arena, choice->type, low, high);
    if (number != NULL)
        text_printf(w->out, "SET %s := %s;\n", choice->name, number);
    else
        text_printf(w->out, "(* %s is not a number here, which no scenario "
                            "can say *)\n", choice->name);
    arena_free(arena);
}

static void write_input(struct writer *w, uint32_t row)
{
    const struct choice *choice = &w->model->choices[row];
    uint32_t now = index_at(w, w->scan, row);
    bool selector = choice->kind == CHOICE_OPERATOR &&
                    w->model->controls[choice->of].kind == SIGNAL_SELECTOR;

    if (now == (w->scan == 0 ? choice->rest
                             : index_at(w, w->scan - 1, row)))
        return;
    pay(w);
    if (choice->type->kind == TYPE_REAL) {
        write_real(w, choice, now);
        return;
    }
    if (choice->type->kind == TYPE_BOOL &&
        choice->kind != CHOICE_UNCOMMANDED) {
        text_printf(w->out, "%s %s;\n",
                    choice->values[now] != 0 ? "HOLD" : "RELEASE",
                    choice->name);
        return;
    }
    text_printf(w->out, selector ? "TURN %s TO " : "SET %s := ",
                choice->name);
    say_value(w->out, choice->type, choice->values[now]);
    text_add(w->out, ";\n");
}

/* The time of the first scan is no matter. */
static void write_pace(struct writer *w)
{
    int64_t ms = pace_of(w->model, w->outing->replay.scans[w->scan].choices);

    if (w->scan == 0 || ms == w->pace)
        return;
    pay(w);
    text_printf(w->out, "SCAN T#%" PRId64 "ms;\n", ms);
    w->pace = ms;
}

static void write_choices(struct writer *w)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++) {
        enum choice_kind kind = w->model->choices[i].kind;

        if (kind == CHOICE_START || kind == CHOICE_PAST)
            write_start(w, i);
        else if (kind >= CHOICE_OPERATOR && kind != CHOICE_ANY)
            write_input(w, i);
    }
}

static void write_faults(struct writer *w)
{
    for (uint32_t f = 0; f < w->model->n_faults; f++) {
        if (outing_fault_present(w->outing, w->scan, f) ==
            (w->scan > 0 &&
             outing_fault_present(w->outing, w->scan - 1, f)))
            continue;
        pay(w);
        text_printf(w->out, "FAULT %s;\n",
                    w->model->faults[f].name->spelling);
    }
}

static void write_power(struct writer *w)
{
    const struct replay_scan *scans = w->outing->replay.scans;

    if (w->scan == 0 || scans[w->scan].dark == scans[w->scan - 1].dark)
        return;
    pay(w);
    text_printf(w->out, "POWER %s;\n", scans[w->scan].dark ? "OFF" : "ON");
}

/* Was a movement, or a MAY, chosen that can have led there? */
static bool chosen(const struct writer *w, uint32_t slot)
{
    for (uint32_t i = 0; i < w->model->n_choices; i++) {
        const struct choice *choice = &w->model->choices[i];

        if (choice->kind == CHOICE_MACHINE &&
            (choice->of == slot || choice->of == MODEL_NONE) &&
            index_at(w, w->scan, i) != 0)
            return true;
    }
    return false;
}

static void write_moves(struct writer *w)
{
    for (uint32_t s = 0; w->scan > 0 && s < w->model->n_slots; s++) {
        const struct slot *slot = &w->model->slots[s];

        if (slot->home != SLOT_MACHINE || slot->temp || slot->clock ||
            slot_at(w, w->scan, s) == slot_at(w, w->scan - 1, s) ||
            !chosen(w, s))
            continue;
        pay(w);
        text_printf(w->out, "MOVE %s TO ", slot->path);
        say_value(w->out, slot->type, slot_at(w, w->scan, s));
        text_add(w->out, ";\n");
    }
}

static bool broke_before(const struct writer *w, uint32_t requirement)
{
    for (uint32_t scan = 0; scan < w->scan; scan++)
        if (outing_breaks(w->outing, scan, requirement, true))
            return true;
    return false;
}

static void write_breaks(struct writer *w)
{
    for (uint32_t r = 0; r < w->model->n_requirements; r++) {
        if (!outing_breaks(w->outing, w->scan, r, true) ||
            broke_before(w, r))
            continue;
        pay(w);
        text_printf(w->out, "EXPECT BROKEN %s;\n",
                    w->model->requirements[r].name->spelling);
    }
}

static void write_end(struct writer *w)
{
    for (uint32_t a = 0; a < w->model->n_actuators; a++) {
        const struct actuator *what = &w->model->actuators[a];
        int64_t value = outing_slot(w->outing, what->slot);

        pay(w);
        if (what->type->kind == TYPE_BOOL) {
            text_printf(w->out, "EXPECT %s%s;\n", value != 0 ? "" : "NOT ",
                        what->name->spelling);
            continue;
        }
        text_printf(w->out, "EXPECT %s = ", what->name->spelling);
        say_value(w->out, what->type, value);
        text_add(w->out, ";\n");
    }
    write_wait(w); /* where there is no actuator */
}

void script_add(struct text *out, const struct outing *outing,
                const char *name)
{
    struct writer w = {
        .out = out, .outing = outing, .model = &outing->model,
        .pace = outing->model.scan};

    text_printf(out, "  SCENARIO %s 'run by hand'\n", name);
    for (; w.scan < outing->replay.n_scans; w.scan++) {
        write_pace(&w);
        write_choices(&w);
        write_faults(&w);
        write_power(&w);
        write_moves(&w);
        w.owed += w.pace;
        write_breaks(&w);
    }
    write_end(&w);
    text_add(out, "  END_SCENARIO\n");
}
