#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/causes.h"
#include "present/decisive.h"
#include "present/lanes.h"
#include "present/page.h"
#include "present/quote.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "present/sentences.h"
#include "present/sheet.h"
#include "present/testedwords.h"
#include "present/timing.h"
#include "present/verdict.h"
#include "reference/replay.h"
#include "study/findings.h"
#include "study/shown.h"
#include "study/why.h"

/* What one requirement is told from. */
struct told {
    struct text *out;
    const struct report *report;
    const struct requirement_finding *finding;
    const struct requirement *requirement;
    const struct why *why; /* of a breach; or NULL */
};

/* ---- the sequence ---- */

static void add_row(void *context, const struct sheet_row *row)
{
    struct text *out = context;

    if (row->note == NULL) {
        page_row(out, "td", row->cell, SHEET_COLUMNS);
        return;
    }
    page_row(out, "td", (const char *const[]){"", row->note, "", ""},
             SHEET_COLUMNS);
}

static void add_sheet(const struct told *told)
{
    const char *headings[SHEET_COLUMNS];

    for (int c = 0; c < SHEET_COLUMNS; c++)
        headings[c] = sheet_heading(c);
    page_table(told->out, "sheet", headings, SHEET_COLUMNS);
    sheet_each(told->report->findings, told->finding->sequence, told->why,
               add_row, told->out);
    page_close(told->out, "table");
}

static void add_picture(const struct told *told)
{
    struct arena *arena = told->report->arena;
    const struct shown_list nothing = {0};
    const struct lanes lanes = lanes_make(arena, told->report->findings,
                                          told->finding->sequence, &nothing);
    const char *name = told->requirement->name->spelling;
    bool broken = told->finding->verdict == VERDICT_BROKEN;
    struct timing timing = {
        .lanes = &lanes,
        .title = arena_printf(arena, "%s  %s", name,
                              told->requirement->title),
        .what = broken ? "the sequence above" : "an example",
        .at_end = arena_printf(arena, "%s %s", name,
                               broken ? "is broken" : "is shown"),
    };
    struct text svg = {0};

    if (told->why != NULL)
        timing.marks = decisive_marks(arena, told->report->findings->model,
                                      told->why, &timing.n_marks);
    timing_svg(&svg, &timing);
    page_picture(told->out, &svg,
                 "timing diagram of the sequence in the table above");
    text_release(&svg);
}

static void add_causes(const struct told *told)
{
    struct text words = {0};

    page_element(told->out, "h4", NULL,
                 "Why (the numbers stand in table and diagram too)");
    causes_add(&words, told->why, told->report->sources);
    page_fixed(told->out, text_str(&words));
    text_release(&words);
}

static void add_sequence(struct told *told)
{
    const struct replay *sequence = told->finding->sequence;
    bool breach = told->finding->verdict == VERDICT_BROKEN &&
                  told->requirement->form < FORM_POSSIBLE;

    if (sequence == NULL || sequence->n_scans == 0)
        return;
    if (breach)
        told->why = why_broken(told->report->arena,
                               told->report->findings->model,
                               told->finding->requirement, sequence);
    add_sheet(told);
    add_picture(told);
    if (told->why != NULL)
        add_causes(told);
}

/* ---- the whole of one ---- */

static void add_asked(const struct told *told)
{
    struct text words = {0};

    page_element(told->out, "p", NULL, sentences_requirement(
        told->report->arena, told->report->findings->model,
        told->report->sources, told->requirement));
    text_add(&words, "As it is written: ");
    quote_span(&words, told->report->sources, told->requirement->said);
    page_element(told->out, "p", "note", text_str(&words));
    text_release(&words);
}

static void add_requirement(struct told *told)
{
    const struct view view = {.findings = told->report->findings,
                              .sources = told->report->sources,
                              .figures = true, .apart = true,
                              .examples = true,
                              .tested = told->report->tested};
    struct text words = {0};

    page_element(told->out, "h3", NULL, arena_printf(
        told->report->arena, "%s  %s", told->requirement->name->spelling,
        told->requirement->title));
    verdict_line(&words, &view, told->finding);
    words.at[--words.n] = '\0'; /* its line end */
    page_element(told->out, "p",
                 told->finding->verdict == VERDICT_KEPT ? "verdict"
                                                        : "verdict other",
                 text_str(&words));
    add_asked(told);
    text_clear(&words);
    verdict_notes(&words, &view, told->finding);
    page_lines(told->out, text_str(&words));
    add_sequence(told);
    report_examples(told->out, told->report, told->finding->requirement);
    text_release(&words);
}

void report_requirements(struct text *out, const struct report *report)
{
    const struct findings *findings = report->findings;

    page_element(out, "h2", NULL, "6  Each requirement");
    if (report->tested != NULL) {
        struct text words = {0};

        testedwords_sheet(&words, report->tested);
        page_lines(out, text_str(&words));
        text_release(&words);
    }
    for (uint32_t i = 0; i < findings->n_requirements; i++) {
        struct told told = {.out = out, .report = report,
                            .finding = &findings->requirements[i]};

        told.requirement =
            &findings->model->requirements[told.finding->requirement];
        add_requirement(&told);
    }
}

/* ---- hazard, requirement, result ---- */

static void add_hazards(struct text *words, const struct model *model,
                        const struct requirement *requirement)
{
    for (uint32_t h = 0; h < requirement->n_hazards; h++) {
        const struct hazard *hazard =
            &model->hazards[requirement->hazards[h]];

        text_printf(words, "%s %s\n", hazard->name->spelling, hazard->title);
    }
    if (requirement->n_hazards == 0)
        text_add(words, "no hazard named");
}

static void add_trace_row(struct text *out, const struct report *report,
                          const struct requirement_finding *finding)
{
    const struct model *model = report->findings->model;
    const struct requirement *r = &model->requirements[finding->requirement];
    struct text hazards = {0}, asked = {0}, refers = {0}, logic = {0};

    add_hazards(&hazards, model, r);
    text_printf(&asked, "%s %s", r->name->spelling, r->title);
    if (r->refers_to != NULL)
        text_printf(&refers, "%s\n%s%s", r->refers_to,
                    r->read_by != NULL ? "read by "
                                       : "clause not checked against the text "
                                         "in force",
                    r->read_by != NULL ? r->read_by : "");
    report_logic(&logic, model, r);
    page_row(out, "td",
             (const char *const[]){text_str(&hazards), text_str(&asked),
                                   text_str(&refers), text_str(&logic),
                                   verdict_words(finding->verdict)}, 5);
    text_release(&logic);
    text_release(&hazards);
    text_release(&asked);
    text_release(&refers);
}

void report_trace(struct text *out, const struct report *report)
{
    static const char *const headings[] = {"hazard", "requirement",
                                           "refers to", "logic", "result"};

    page_element(out, "h2", NULL, "4  From hazard to result");
    page_table(out, "trace", headings, 5);
    for (uint32_t i = 0; i < report->findings->n_requirements; i++)
        add_trace_row(out, report, &report->findings->requirements[i]);
    page_close(out, "table");
}
