#include "present/testsheetwords.h"

#include <inttypes.h>
#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/byhandwords.h"
#include "present/sheetform.h"
#include "present/sheetphrases.h"
#include "present/sheetreach.h"
#include "present/sheetsteps.h"
#include "present/wordtable.h"
#include "study/tested.h"
#include "study/testsheet.h"

/* A sheet while it is written. */
struct sheet {
    struct sheetform form;
    const struct byhand_view *view;
    const bool *rest; /* sheetsteps_rest */
};

static const struct model *model_of(const struct sheet *s)
{
    return s->view->sheet->model;
}

/* ---- phrases as parts of the form ---- */

static const char *word(const struct sheet *s, const char *key)
{
    return wordtable_of(s->view->words, key);
}

static void paragraph(const struct sheet *s, const char *key,
                      const char *first, const char *second)
{
    struct text line = {0};

    sheetphrases_put(&line, s->view->words, key, first, second);
    sheetform_paragraph(&s->form, text_str(&line));
    text_release(&line);
}

/* ---- what is the same on every sheet ---- */

enum kind { HEADING, WORDS, BLANK, GAP };

struct line {
    enum kind kind;
    const char *key;
};

static const struct line before[] = {
    {HEADING, "before"},       {WORDS, "before_all"},
    {BLANK, "before_charge"},  {BLANK, "before_text"},
    {BLANK, "before_read"},    {BLANK, "before_area"},
    {BLANK, "before_nobody"},  {BLANK, "before_second"},
    {BLANK, "before_stops"},   {BLANK, "before_support"},
    {BLANK, "before_vehicle"}, {BLANK, "before_signs"},
    {GAP, NULL},
    {HEADING, "breaking"},     {WORDS, "breaking_rule"},
    {GAP, NULL},
};

static const struct line round_one[] = {
    {HEADING, "one"},      {BLANK, "one_energy"},
    {BLANK, "one_tried"},  {WORDS, "one_watched"},
    {GAP, NULL},
};

static const struct line round_two[] = {
    {HEADING, "two"},        {WORDS, "two_rule"},
    {BLANK, "two_released"}, {BLANK, "two_supports"},
    {GAP, NULL},
};

static const struct line after[] = {
    {HEADING, "after"},     {BLANK, "after_rest"},
    {BLANK, "after_safe"},  {BLANK, "after_locks"},
    {BLANK, "after_area"},  {BLANK, "after_sign"},
    {GAP, NULL},            {WORDS, "after_only"},
    {GAP, NULL},
};

#define LINES(list) list, sizeof list / sizeof *list

static void add_lines(const struct sheet *s, const struct line *lines,
                      size_t n)
{
    for (size_t i = 0; i < n; i++)
        switch (lines[i].kind) {
        case HEADING:
            sheetform_heading(&s->form, word(s, lines[i].key));
            break;
        case WORDS:
            sheetform_paragraph(&s->form, word(s, lines[i].key));
            break;
        case BLANK:
            sheetform_blank(&s->form, word(s, lines[i].key));
            break;
        case GAP: sheetform_gap(&s->form); break;
        }
}

static void begin(const struct sheet *s)
{
    const struct model *model = model_of(s);
    struct text title = {0}, mark = {0};

    sheetphrases_put(&title, s->view->words, "title",
                     model->title != NULL ? model->title
                     : model->name != NULL ? model->name : "", NULL);
    tested_digest(&mark, s->view->sources);
    sheetform_begin(&s->form, text_str(&title), text_str(&mark));
    sheetform_blank(&s->form, word(s, "which_machine"));
    sheetform_blank(&s->form, word(s, "which_day"));
    paragraph(s, "made_for", text_str(&mark), NULL);
    sheetform_gap(&s->form);
    text_release(&title);
    text_release(&mark);
}

/* ---- what it leans on, and what is watched ---- */

static void add_assumptions(const struct sheet *s)
{
    const struct model *model = model_of(s);

    for (uint32_t i = 0; i < model->n_assumptions; i++) {
        const struct assumption *a = &model->assumptions[i];
        struct text line = {0};

        if (a->name == NULL)
            continue;
        text_printf(&line, "%s %s", a->name->spelling,
                    a->title != NULL ? a->title : "");
        if (a->confirmed_by == NULL)
            paragraph(s, "unconfirmed", text_str(&line), NULL);
        else
            sheetform_paragraph(&s->form, text_str(&line));
        text_release(&line);
    }
}

static void add_basis(const struct sheet *s)
{
    const struct model *model = model_of(s);
    struct text ms = {0};

    sheetform_heading(&s->form, word(s, "leans"));
    sheetform_paragraph(&s->form, word(s, "leans_on"));
    text_printf(&ms, "%" PRId64, model->scan);
    paragraph(s, model->scan_assumed ? "scan_assumed" : "scan",
              text_str(&ms), NULL);
    text_release(&ms);
    add_assumptions(s);
    for (uint32_t i = 0; i < model->n_controls; i++)
        if (s->view->sheet->left_out[i])
            paragraph(s, "left_out", model->controls[i].title, NULL);
    sheetform_gap(&s->form);
}

static void add_watched(const struct sheet *s)
{
    const struct model *model = model_of(s);

    sheetform_heading(&s->form, word(s, "watched"));
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        const struct actuator *a = &model->actuators[i];
        struct text line = {0};

        text_printf(&line, "%s (%s)%s%s", a->title, a->name->spelling,
                    a->place != NULL ? ", " : "",
                    a->place != NULL ? a->place : "");
        sheetform_entry(&s->form, text_str(&line));
        text_release(&line);
    }
    sheetform_gap(&s->form);
}

static void add_stations(const struct sheet *s)
{
    const struct model *model = model_of(s);
    bool any = false;

    for (uint32_t i = 0; i < model->n_controls; i++) {
        struct text letter = {0}, line = {0};

        if (!sheetsteps_is_station(model, i))
            continue;
        if (!any)
            sheetform_heading(&s->form, word(s, "stations"));
        any = true;
        sheetsteps_letter(&letter, model, i);
        sheetphrases_put(&line, s->view->words, "station", text_str(&letter),
                         model->controls[i].place);
        sheetform_entry(&s->form, text_str(&line));
        text_release(&letter);
        text_release(&line);
    }
    if (any)
        sheetform_gap(&s->form);
}

/* ---- how a step is done: what is true of each is said once ---- */

static void add_figure(const struct sheet *s, const char *key, uint32_t ms)
{
    struct text seconds = {0};

    sheetphrases_seconds(&seconds, s->view->words, ms);
    paragraph(s, key, text_str(&seconds), NULL);
    text_release(&seconds);
}

static void add_wait(const struct sheet *s)
{
    struct text usual = {0}, early = {0};

    text_printf(&usual, "%d", HAND_USUAL_S);
    text_printf(&early, "%d", HAND_EARLY_MS / 1000);
    paragraph(s, "how_step", text_str(&usual), text_str(&early));
    text_release(&usual);
    text_release(&early);
}

static bool power_returns(const struct testsheet *sheet)
{
    for (uint32_t i = 0; i < sheet->n_sequences; i++)
        for (uint32_t k = 0; k < sheet->sequences[i].n_steps; k++)
            if (sheet->sequences[i].steps[k].power)
                return true;
    return false;
}

static void add_manner(const struct sheet *s)
{
    struct text rest = {0}, wait = {0};

    sheetform_heading(&s->form, word(s, "how"));
    text_printf(&wait, "%d", HAND_REST_S);
    paragraph(s, s->view->sheet->from_power_up ? "how_power" : "how_rest",
              text_str(&wait), NULL);
    add_wait(s);
    add_figure(s, "how_together", HAND_APART_MS);
    add_figure(s, "how_seen", HAND_REACTION_MS);
    if (power_returns(s->view->sheet))
        sheetform_paragraph(&s->form, word(s, "how_return"));
    sheetsteps_rest_words(&rest, s->view->sheet, s->rest);
    paragraph(s, rest.n > 0 ? "how_must_rest" : "how_must", text_str(&rest),
              NULL);
    sheetform_paragraph(&s->form, word(s, "how_mark"));
    sheetform_paragraph(&s->form, word(s, "how_end"));
    sheetform_gap(&s->form);
    text_release(&rest);
    text_release(&wait);
}

/* ---- sequences ---- */

static void add_step(const struct sheet *s, const char *number,
                     const struct sheetsteps_at *at)
{
    const struct hand_step *step = &at->sequence->steps[at->step];
    struct text station = {0}, what = {0}, changed = {0}, still = {0},
                reached = {0};

    sheetsteps_stations(&station, model_of(s), step);
    sheetsteps_do(&what, s->view, step);
    sheetsteps_must(&changed, &still, s->view, at);
    sheetsteps_for(&reached, s->view->sheet, step);
    sheetform_step(&s->form, &(struct sheetform_step){
                                 number, text_str(&station), text_str(&what),
                                 text_str(&changed), text_str(&still),
                                 text_str(&reached)});
    text_release(&station);
    text_release(&what);
    text_release(&changed);
    text_release(&still);
    text_release(&reached);
}

static bool is_used(const struct hand_sequence *sequence,
                    const struct model *model, const char *place)
{
    for (uint32_t k = 0; k < sequence->n_steps; k++)
        for (uint32_t i = 0; i < sequence->steps[k].n_changes; i++) {
            const char *there =
                model->controls[sequence->steps[k].changes[i].control].place;

            if (there != NULL && strcmp(there, place) == 0)
                return true;
        }
    return false;
}

/* Where somebody stands during a sequence: "A cab; B rear panel". */
static void say_hands(struct text *out, const struct sheet *s,
                      const struct hand_sequence *sequence)
{
    const struct model *model = model_of(s);

    for (uint32_t i = 0; i < model->n_controls; i++) {
        if (!sheetsteps_is_station(model, i) ||
            !is_used(sequence, model, model->controls[i].place))
            continue;
        text_add(out, out->n > 0 ? "; " : "");
        sheetsteps_letter(out, model, i);
        text_printf(out, " %s", model->controls[i].place);
    }
}

static void add_beginning(const struct sheet *s,
                          const struct hand_sequence *sequence,
                          uint32_t number)
{
    struct text title = {0}, stands = {0}, hands = {0}, besides = {0};

    sheetphrases_number(&title, s->view->words,
                        sequence->round == ROUND_STANDING ? "sequence"
                                                          : "movement",
                        number);
    byhandwords_stands(&stands, s->view, sequence);
    sheetphrases_put(&besides, s->view->words, "stands", text_str(&stands),
                     NULL);
    if (s->view->sheet->from_power_up)
        text_printf(&besides, " %s", word(s, "power_first"));
    say_hands(&hands, s, sequence);
    if (hands.n > 0) {
        text_add(&besides, " ");
        sheetphrases_put(&besides, s->view->words, "hands_at",
                         text_str(&hands), NULL);
    }
    sheetform_sequence(&s->form, text_str(&title), text_str(&besides));
    text_release(&title);
    text_release(&stands);
    text_release(&hands);
    text_release(&besides);
}

static void add_sequence(const struct sheet *s,
                         const struct hand_sequence *sequence,
                         uint32_t number)
{
    struct sheetsteps_at at = {sequence, 0, s->rest};

    add_beginning(s, sequence, number);
    for (; at.step < sequence->n_steps; at.step++) {
        struct text name = {0};

        text_printf(&name, "%u.%u", number, at.step + 1);
        add_step(s, text_str(&name), &at);
        text_release(&name);
    }
    sheetform_sequence_end(&s->form,
                           sheetsteps_ends_on(s->view->sheet, sequence,
                                              s->rest)
                               ? word(s, "end_on") : NULL);
}

/* ---- rounds ---- */

static const char *nothing_found(const struct testsheet *sheet,
                                 enum hand_round round)
{
    if (round == ROUND_MOVING)
        return "no_moving";
    return sheet->can_stand ? "no_standing" : "cannot_stand";
}

static void add_round(const struct sheet *s, enum hand_round round)
{
    const struct testsheet *sheet = s->view->sheet;
    uint32_t n = 0;

    if (round == ROUND_STANDING)
        add_lines(s, LINES(round_one));
    else
        add_lines(s, LINES(round_two));
    for (uint32_t i = 0; i < sheet->n_sequences; i++) {
        if (sheet->sequences[i].round != round)
            continue;
        if (n++ == 0)
            sheetform_steps_begin(&s->form);
        add_sequence(s, &sheet->sequences[i], i + 1);
    }
    if (n > 0) {
        sheetform_steps_end(&s->form);
        return;
    }
    sheetform_paragraph(&s->form, word(s, nothing_found(sheet, round)));
    sheetform_gap(&s->form);
}

void testsheetwords_add(struct text *out, const struct byhand_view *view,
                        bool paper)
{
    struct arena *arena = arena_new();
    const struct sheet sheet = {
        .form = {out, view->words, paper},
        .view = view,
        .rest = sheetsteps_rest(arena, view->sheet),
    };

    begin(&sheet);
    add_lines(&sheet, LINES(before));
    add_basis(&sheet);
    add_watched(&sheet);
    add_stations(&sheet);
    add_manner(&sheet);
    add_round(&sheet, ROUND_STANDING);
    add_round(&sheet, ROUND_MOVING);
    add_lines(&sheet, LINES(after));
    sheetreach_add(&sheet.form, view);
    sheetform_end(&sheet.form);
    arena_free(arena);
}
