#include "present/live.h"

#include <string.h>

#include "base/text.h"
#include "present/amount.h"
#include "present/quote.h"
#include "present/say.h"
#include "reference/replay.h"
#include "study/outing.h"

enum { MARGIN = 9, WIDTH = 79 };

/* Appends lines broken at WIDTH, the first behind `head`. */
static void add_lines(struct text *out, const char *head, const char *lines)
{
    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n"), fits = n;

        while (text_columns(lines, fits) > WIDTH - MARGIN) {
            size_t blank = fits;

            while (blank > 0 && lines[blank - 1] != ' ')
                blank--;
            if (blank == 0)
                break;
            fits = blank - 1;
        }
        text_printf(out, "%s", head);
        text_pad(out, ' ', MARGIN - strlen(head));
        text_add_bytes(out, lines, fits);
        text_add(out, "\n");
        head = "";
        lines += fits;
        lines += *lines == '\n' || *lines == ' ';
    }
}

static void seconds_of(struct text *out, const struct outing *outing,
                       uint32_t scan)
{
    amount_seconds(out, replay_time(&outing->model, &outing->replay, scan));
}

static void add_breaks(struct text *out, const struct outing *outing,
                       uint32_t scan)
{
    for (uint32_t r = 0; r < outing->model.n_requirements; r++) {
        const struct requirement *what = &outing->model.requirements[r];

        if (outing_breaks(outing, scan, r, true) &&
            !(scan > 0 && outing_breaks(outing, scan - 1, r, true)))
            text_printf(out, "%s is broken: %s\n", what->name->spelling,
                        what->title);
    }
}

void live_scans(struct text *out, const struct outing *outing,
                uint32_t from)
{
    uint32_t n = outing->replay.n_scans;

    for (uint32_t scan = from; scan < n; scan++) {
        struct text lines = {0}, head = {0};

        say_operator(&lines, &outing->findings, &outing->replay, scan);
        say_machine(&lines, &outing->findings, &outing->replay, scan);
        say_outputs(&lines, &outing->findings, &outing->replay, scan);
        add_breaks(&lines, outing, scan);
        if (lines.n == 0 && scan + 1 == n)
            text_add(&lines, "nothing changes\n");
        text_add(&head, " ");
        seconds_of(&head, outing, scan);
        text_add(&head, " ");
        add_lines(out, text_str(&head), text_str(&lines));
        text_release(&lines);
        text_release(&head);
    }
}

/* ---- how things stand ---- */

static void show_set(struct text *out, const struct outing *outing)
{
    const struct model *model = &outing->model;

    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];
        uint32_t is = outing->set[i];

        if (choice->kind < CHOICE_OPERATOR || choice->kind == CHOICE_ANY ||
            is == choice->rest)
            continue;
        text_printf(out, "%s ", choice->name);
        if (choice->kind == CHOICE_UNCOMMANDED) {
            text_add(out, "without command: ");
            say_value(out, choice->type, choice->values[is]);
        } else if (choice->type->kind == TYPE_BOOL)
            text_add(out, "held");
        else
            say_value(out, choice->type, choice->values[is]);
        text_add(out, "\n");
    }
}

static void show_machine(struct text *out, const struct outing *outing)
{
    for (uint32_t s = 0; s < outing->model.n_slots; s++) {
        const struct slot *slot = &outing->model.slots[s];

        if (slot->home != SLOT_MACHINE || slot->temp || slot->clock)
            continue;
        text_printf(out, "%s is ", slot->path);
        say_value(out, slot->type, outing_slot(outing, s));
        text_add(out, "\n");
    }
    for (size_t i = 0; i < outing->moves.n; i++) {
        const struct outing_move *move = &outing->moves.at[i];
        const struct slot *slot = &outing->model.slots[move->slot];

        text_printf(out, "%s will move to ", slot->path);
        say_value(out, slot->type, move->to);
        text_add(out, " as soon as it may\n");
    }
}

static void show_faults(struct text *out, const struct outing *outing)
{
    uint32_t n = outing->replay.n_scans;

    for (uint32_t f = 0; f < outing->model.n_faults; f++) {
        const struct fault *fault = &outing->model.faults[f];

        bool there = n > 0 && outing_fault_present(outing, n - 1, f);
        bool changes = !fault->excluded && outing->set[fault->choice] != 0;

        if (there)
            text_printf(out, "%s%s: %s\n", fault->name->spelling,
                        changes && fault->timing == TIMING_INTERMITTENT
                            ? " until the next scan" : "", fault->title);
        else if (changes)
            text_printf(out, "%s with the next scan: %s\n",
                        fault->name->spelling, fault->title);
    }
}

static void show_actuators(struct text *out, const struct outing *outing)
{
    for (uint32_t a = 0; a < outing->model.n_actuators; a++) {
        const struct actuator *what = &outing->model.actuators[a];
        int64_t value = outing_slot(outing, what->slot);

        if (value == 0)
            continue;
        text_printf(out, "%s (%s)", what->name->spelling, what->title);
        if (what->type->kind != TYPE_BOOL) {
            text_add(out, " ");
            say_value(out, what->type, value);
        }
        text_add(out, "\n");
    }
}

static void block(struct text *out, const char *head,
                  void (*add)(struct text *, const struct outing *),
                  const struct outing *outing, const char *none)
{
    struct text lines = {0};

    add(&lines, outing);
    if (lines.n == 0 && none != NULL)
        text_printf(&lines, "%s\n", none);
    add_lines(out, head, text_str(&lines));
    text_release(&lines);
}

static void show_time(struct text *out, const struct outing *outing)
{
    uint32_t n = outing->replay.n_scans;

    if (n == 0) {
        text_add(out, "before the first scan\n");
        return;
    }
    amount_of(out, n, "scan");
    text_add(out, ", ");
    seconds_of(out, outing, n - 1);
    if (outing->replay.scans[n - 1].dark)
        text_add(out, ", no power");
    text_add(out, "\n");
}

void live_show(struct text *out, const struct outing *outing)
{
    block(out, "time", show_time, outing, NULL);
    block(out, "set", show_set, outing, "every control is at rest");
    block(out, "machine", show_machine, outing, NULL);
    block(out, "faults", show_faults, outing, NULL);
    block(out, "on", show_actuators, outing, "no actuator is on");
}

void live_refused(struct text *out, const struct outing *outing,
                  const struct sources *sources, int end, uint32_t which)
{
    struct text lines = {0};

    if (end == OUTING_NOT_ALLOWED) {
        const struct assumption *what = &outing->model.assumptions[which];

        text_printf(&lines, "not run: assumption %s does not hold: %s\n",
                    what->name == NULL ? "of a range" : what->name->spelling,
                    what->title);
    } else {
        text_add(&lines, "not run: a run-time error ends this scan, ");
        quote_place(&lines, sources, outing->model.errors[which].span);
        text_add(&lines, ": ");
        quote_span(&lines, sources, outing->model.errors[which].span);
        text_add(&lines, "\n");
    }
    add_lines(out, "", text_str(&lines));
    text_release(&lines);
}
