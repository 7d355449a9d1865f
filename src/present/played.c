#include "present/played.h"

#include "base/text.h"
#include "present/amount.h"
#include "present/quote.h"
#include "present/say.h"
#include "present/sheet.h"
#include "reference/replay.h"
#include "study/scenario.h"

enum { INDENT = 6 };

struct page {
    struct text *out;
    const struct sources *sources;
    const struct scenario_result *result;
};

static void add_sights(const struct page *page,
                       const struct scenario_note *note)
{
    struct text *out = page->out;

    if (note->n_sights == 0)
        return;
    text_pad(out, ' ', 2 * INDENT);
    text_add(out, "seen: ");
    for (uint32_t i = 0; i < note->n_sights; i++) {
        const struct code_expr *leaf = note->sights[i].leaf;

        text_add(out, i > 0 ? ", " : "");
        quote_span(out, page->sources, leaf->span);
        text_add(out, leaf->when == CODE_NOW ? " is " : " was ");
        say_value(out, leaf->type, note->sights[i].value);
    }
    text_add(out, "\n");
}

static void add_place(const struct page *page, const struct play_step *step)
{
    text_pad(page->out, ' ', 2 * INDENT);
    quote_place(page->out, page->sources, step->span);
    text_add(page->out, "\n");
}

static void add_expected(const struct page *page,
                         const struct scenario_note *note)
{
    text_add(page->out, note->met ? "as expected      " : "not as expected  ");
    quote_span(page->out, page->sources, note->step->span);
    text_add(page->out, "\n");
    if (note->met)
        return;
    add_sights(page, note);
    add_place(page, note->step);
}

/* A requirement or assumption by name and title. */
static void add_broken(const struct page *page,
                       const struct scenario_note *note)
{
    const struct requirement *what =
        &page->result->outing->model.requirements[note->index];

    text_printf(page->out, "not as expected  %s is broken here: %s\n",
                what->name->spelling, what->title);
}

static void add_stop(const struct page *page,
                     const struct scenario_note *note)
{
    const struct model *model = &page->result->outing->model;

    text_add(page->out, "ends here        ");
    if (note->event == SCENARIO_ERROR) {
        text_add(page->out, "a run-time error, ");
        quote_place(page->out, page->sources,
                    model->errors[note->index].span);
        text_add(page->out, ": ");
        quote_span(page->out, page->sources,
                   model->errors[note->index].span);
        text_add(page->out, "\n");
    } else {
        const struct assumption *what = &model->assumptions[note->index];

        text_printf(page->out, "assumption %s does not hold: %s\n",
                    what->name == NULL ? "of a range" : what->name->spelling,
                    what->title);
    }
    add_place(page, note->step);
}

static void add_move(const struct page *page,
                     const struct scenario_note *note)
{
    text_add(page->out, "not as expected  ");
    quote_span(page->out, page->sources, note->step->span);
    text_add(page->out, note->event == SCENARIO_STANDS
                            ? ": it stands there already\n"
                            : ": the machine could not make this movement\n");
    add_place(page, note->step);
}

static void add_note(const struct page *page,
                     const struct scenario_note *note)
{
    text_pad(page->out, ' ', INDENT);
    text_add(page->out, "at ");
    amount_seconds(page->out,
                   replay_time(&page->result->outing->model,
                               &page->result->outing->replay, note->scan));
    text_add(page->out, "  ");
    switch (note->event) {
    case SCENARIO_EXPECTED: add_expected(page, note); return;
    case SCENARIO_BREACH: add_broken(page, note); return;
    case SCENARIO_NOT_MOVED:
    case SCENARIO_STANDS: add_move(page, note); return;
    case SCENARIO_NOT_ALLOWED:
    case SCENARIO_ERROR: add_stop(page, note); return;
    }
}

void played_add(struct text *out, const struct sources *sources,
                const struct scenario_result *result)
{
    const struct page page = {out, sources, result};
    const struct outing *outing = result->outing;

    text_printf(out, "%s  %s\n", result->scenario->name->spelling,
                result->scenario->title);
    text_pad(out, ' ', INDENT);
    text_add(out, result->as_expected ? "as expected · " :
                                        "not as expected · ");
    amount_of(out, outing->replay.n_scans, "scan");
    text_add(out, ", ");
    amount_of(out, result->n_expected, "expectation");
    text_add(out, "\n\n");
    if (outing->replay.n_scans > 0) {
        sheet_add(out, &outing->findings, &outing->replay, INDENT);
        text_add(out, "\n");
    }
    for (uint32_t i = 0; i < result->n_notes; i++)
        add_note(&page, &result->notes[i]);
    text_add(out, "\n");
}
