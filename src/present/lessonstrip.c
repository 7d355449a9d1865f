#include "present/lessonstrip.h"

#include <inttypes.h>
#include <stdbool.h>
#include <string.h>

#include "base/name.h"
#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/lessonwords.h"
#include "present/markup.h"
#include "present/page.h"
#include "present/quote.h"
#include "present/say.h"
#include "reference/replay.h"
#include "study/findings.h"
#include "study/lesson.h"
#include "study/load.h"
#include "study/scenario.h"

enum { COLUMNS = 4 };

struct strip {
    struct text *out;
    const struct lesson_story *story;
    const struct words *words;
    const struct sources *sources;
    const struct model *model;
    uint32_t scan;
    struct text cell[COLUMNS]; /* of the row at hand: lines */
    struct text value;
    int64_t blank; /* ms in which nothing was to be told */
};

static const struct replay_scan *scan_of(const struct strip *s, bool before)
{
    return &s->story->replay->scans[s->scan - (before ? 1 : 0)];
}

/* One line in a column. */
static void tell(struct strip *s, int column, const char *key,
                 const char *first, const char *second)
{
    lessonwords_put(&s->cell[column], s->words, key, first, second);
    text_add(&s->cell[column], "\n");
}

static const char *value_words(struct strip *s, const struct type *type,
                               int64_t value)
{
    text_clear(&s->value);
    say_value(&s->value, type, value);
    return text_str(&s->value);
}

/* ---- hands ---- */

static void tell_control(struct strip *s, const struct control *control,
                         const struct choice *choice, uint32_t index)
{
    bool on = choice->values[index] != 0;

    if (control->type->kind != TYPE_BOOL) {
        text_clear(&s->value);
        say_choice(&s->value, choice, index);
        tell(s, 1, "set_to", control->title, text_str(&s->value));
        return;
    }
    tell(s, 1,
         control->kind == SIGNAL_SWITCH ? on ? "switch_on" : "switch_off"
         : control->kind == SIGNAL_STOP ? on ? "press_on" : "press_off"
         : on                           ? "hold_on" : "hold_off",
         control->title, NULL);
}

static void tell_hands(struct strip *s)
{
    const struct replay_scan *now = scan_of(s, false);

    for (uint32_t i = 0; i < s->model->n_choices; i++) {
        const struct choice *choice = &s->model->choices[i];
        uint32_t index = now->choices[i];

        if (choice->kind < CHOICE_OPERATOR ||
            choice->kind >= CHOICE_UNCOMMANDED ||
            index == (s->scan > 0 ? scan_of(s, true)->choices[i]
                                  : choice->rest))
            continue;
        if (choice->kind == CHOICE_OPERATOR) {
            tell_control(s, &s->model->controls[choice->of], choice, index);
            continue;
        }
        text_clear(&s->value);
        say_choice(&s->value, choice, index);
        tell(s, 1, "set_to", choice->name, text_str(&s->value));
    }
}

/* ---- machine and outputs ---- */

static int64_t place_at(const struct strip *s, bool before,
                        enum place_kind kind, uint32_t index)
{
    return machine_place(s->story->findings->machine,
                         scan_of(s, before)->state,
                         (struct place_id){kind, index}, INT64_MAX);
}

static void tell_power(struct strip *s)
{
    bool dark = scan_of(s, false)->dark;
    bool was = s->scan > 0 && scan_of(s, true)->dark;

    if (s->scan == 0)
        tell(s, 2, "power_comes", NULL, NULL);
    else if (dark != was)
        tell(s, 2, dark ? "power_goes" : "power_returns", NULL, NULL);
}

static void tell_faults(struct strip *s)
{
    for (uint32_t f = 0; f < s->model->n_faults; f++) {
        const struct fault *fault = &s->model->faults[f];
        bool now = place_at(s, false, PLACE_FAULT, f) != 0;
        bool was = s->scan > 0 && place_at(s, true, PLACE_FAULT, f) != 0;

        if (now != was)
            tell(s, 2, now ? "fault_comes" : "fault_goes", fault->title,
                 NULL);
    }
}

static void tell_machine(struct strip *s)
{
    tell_power(s);
    tell_faults(s);
    for (uint32_t i = 0; i < s->model->n_slots; i++) {
        const struct slot *slot = &s->model->slots[i];
        int64_t now;

        if (slot->home != SLOT_MACHINE || slot->temp || slot->clock ||
            name_point(slot->path) != NULL)
            continue;
        now = place_at(s, false, PLACE_SLOT, i);
        if (s->scan == 0 || now != place_at(s, true, PLACE_SLOT, i))
            tell(s, 2, s->scan == 0 ? "stands_at" : "becomes", slot->path,
                 value_words(s, slot->type, now));
    }
}

static void tell_outputs(struct strip *s)
{
    for (uint32_t i = 0; i < s->model->n_actuators; i++) {
        const struct actuator *what = &s->model->actuators[i];
        int64_t now = place_at(s, false, PLACE_SLOT, what->slot);

        if (now == (s->scan > 0 ? place_at(s, true, PLACE_SLOT, what->slot)
                                : 0))
            continue;
        if (what->type->kind == TYPE_BOOL)
            tell(s, 3, now != 0 ? "comes_on" : "goes_off", what->title, NULL);
        else
            tell(s, 3, "value_now", what->title,
                 value_words(s, what->type, now));
    }
}

/* ---- what was expected ---- */

static void tell_expected(struct strip *s, const struct scenario_note *note)
{
    const struct play_step *step = note->step;

    text_clear(&s->value);
    if (step->why != NULL)
        text_add(&s->value, step->why);
    else
        quote_span(&s->value, s->sources, step->span);
    tell(s, 0, note->met ? "as_expected" : "not_expected",
         text_str(&s->value), NULL);
}

static void tell_note(struct strip *s, const struct scenario_note *note)
{
    const struct model *model = s->model;

    switch (note->event) {
    case SCENARIO_EXPECTED: tell_expected(s, note); return;
    case SCENARIO_BREACH:
        tell(s, 0, "breaks_here",
             model->requirements[note->index].name->spelling,
             model->requirements[note->index].title);
        return;
    case SCENARIO_NOT_MOVED:
    case SCENARIO_STANDS: tell(s, 0, "not_moved", NULL, NULL); return;
    case SCENARIO_NOT_ALLOWED:
        tell(s, 0, "ends_here", model->assumptions[note->index].title, NULL);
        return;
    case SCENARIO_ERROR:
        text_clear(&s->value);
        quote_place(&s->value, s->sources, model->errors[note->index].span);
        tell(s, 0, "ends_here", text_str(&s->value), NULL);
        return;
    }
}

/* What belongs behind this scan; a scan that was not run belongs to the one
 * before. */
static void add_notes(struct strip *s)
{
    const struct scenario_result *played = s->story->played;
    uint32_t last = s->story->replay->n_scans - 1;
    struct text *lines = &s->cell[0];

    for (uint32_t i = 0; played != NULL && i < played->n_notes; i++) {
        uint32_t at = played->notes[i].scan;

        if ((at > last ? last : at) != s->scan)
            continue;
        text_clear(lines);
        tell_note(s, &played->notes[i]);
        text_printf(s->out, "<tr class=\"expected\" data-scan=\"%u\">"
                    "<td colspan=\"%d\"><bdi>", s->scan, COLUMNS);
        markup_add(s->out, text_str(lines), lines->n - 1);
        text_add(s->out, "</bdi></td></tr>\n");
    }
    text_clear(lines);
}

/* ---- rows ---- */

static void add_cell(struct text *out, const struct text *lines)
{
    const char *at = text_str(lines);

    text_add(out, "<td>");
    while (*at != '\0') {
        size_t n = strcspn(at, "\n");

        text_add(out, at == text_str(lines) ? "<bdi>" : "<br/><bdi>");
        markup_add(out, at, n);
        text_add(out, "</bdi>");
        at += n + (at[n] == '\n');
    }
    text_add(out, "</td>");
}

static void add_pause(struct strip *s)
{
    struct text figure = {0}, words = {0};

    if (s->blank == 0)
        return;
    amount_seconds(&figure, s->blank);
    lessonwords_put(&words, s->words, "no_change", text_str(&figure), NULL);
    text_printf(s->out, "<tr class=\"pause\"><td></td><td colspan=\"%d\">",
                COLUMNS - 1);
    markup_add(s->out, text_str(&words), words.n);
    text_add(s->out, "</td></tr>\n");
    s->blank = 0;
    text_release(&figure);
    text_release(&words);
}

static bool has_note(const struct strip *s)
{
    const struct scenario_result *played = s->story->played;

    for (uint32_t i = 0; played != NULL && i < played->n_notes; i++)
        if (played->notes[i].scan == s->scan)
            return true;
    return false;
}

static void add_scan(struct strip *s)
{
    const struct replay *replay = s->story->replay;
    int64_t time = replay_time(s->model, replay, s->scan);

    tell_hands(s);
    tell_machine(s);
    tell_outputs(s);
    if (s->cell[1].n + s->cell[2].n + s->cell[3].n == 0 && !has_note(s) &&
        s->scan + 1 < replay->n_scans) {
        s->blank += replay_time(s->model, replay, s->scan + 1) - time;
        return;
    }
    add_pause(s);
    text_clear(&s->cell[0]);
    amount_seconds(&s->cell[0], time);
    text_printf(s->out, "<tr data-scan=\"%u\">", s->scan);
    for (int c = 0; c < COLUMNS; c++) {
        add_cell(s->out, &s->cell[c]);
        text_clear(&s->cell[c]);
    }
    text_add(s->out, "</tr>\n");
    add_notes(s);
}

void lessonstrip_add(struct text *out, const struct lesson_machine *machine,
                     const struct lesson_story *story,
                     const struct words *words)
{
    struct strip s = {.out = out, .story = story, .words = words,
                      .sources = machine->loaded->sources,
                      .model = story->findings->model};
    const char *const headings[COLUMNS] = {
        lessonwords_of(words, "time"), lessonwords_of(words, "hands"),
        lessonwords_of(words, "moving"), lessonwords_of(words, "switched")};

    page_table(out, "strip", headings, COLUMNS);
    for (; s.scan < story->replay->n_scans; s.scan++)
        add_scan(&s);
    page_close(out, "table");
    for (int c = 0; c < COLUMNS; c++)
        text_release(&s.cell[c]);
    text_release(&s.value);
}
